"""The safety wording at the foot of every page and every sheet. A library adds to it and cannot take it away."""

WHAT_IT_IS = (
    "This manual is the working record of the people who keep these machines. It helps someone who knows the trade to "
    "work in a safe order. It is not the maker's manual, and it does not replace training or judgement."
)
WHAT_COMES_FIRST = (
    "The maker's current instructions, the law, and local rules and codes come first. Where they differ from this "
    "page, follow them and tell the editor. Leave to a licensed person what the law or good sense leaves to one."
)
WHAT_TO_CHECK = (
    "Before work, compare the revision and the fingerprint of a printed sheet with the manual. "
    "An old print may be wrong. Stop where the machine does not match the page."
)

WORDING = (WHAT_IT_IS, WHAT_COMES_FIRST, WHAT_TO_CHECK)
