"""`procgen watch`: the manual, built anew whenever its library changes, and shown in a browser while it is written.

wake ──► watching ──► rebuild ──► board ──► server ──► strip.js in the open page
events    snapshot     flow        news      files
"""
