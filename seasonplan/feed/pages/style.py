"""How the pages look, by day and in the dark, and the head and foot that all of them share.

One style sheet inside each page: nothing is fetched, and no script is let run.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Mapping, Sequence
from html import escape

from seasonplan.explain.tints import ACCENT, BY_NIGHT, PAPER_INK, QUIET, RULE, WHITE
from seasonplan.pictures.svg import ON_PAGE

# By night a picture has other colours; its own are plain attributes, which any style overrules
DARK = "".join(
    f'.{ON_PAGE} [{part}="{day}"]{{{part}:{night}}}'
    for day, night in BY_NIGHT.items()
    for part in ("fill", "stroke")
)
NAMED = {"ink": PAPER_INK, "soft": QUIET, "line": RULE, "warn": ACCENT}
GROUNDS = """--paper:#fbf8ef;--card:#f4efe1;--link:#1f4e79;--button:#1f4e79;--on-button:#fff"""
NIGHT_GROUNDS = f"""--paper:{BY_NIGHT[WHITE]};--card:#282520;--link:#9cc7ea;--button:#9cc7ea;\
--on-button:#14202b"""


def _named(colours: Mapping[str, str]) -> str:
    return ";".join(f"--{name}:{colour}" for name, colour in colours.items())


ROOT = f""":root{{color-scheme:light dark;{_named(NAMED)};{GROUNDS}}}
@media(prefers-color-scheme:dark){{\
:root{{{_named({name: BY_NIGHT[day] for name, day in NAMED.items()})};{NIGHT_GROUNDS}}}}}
"""
LOOK = """
*{box-sizing:border-box}
body{margin:0 auto;max-width:62rem;padding:1rem 16px 3rem;background:var(--paper);
color:var(--ink);font:1rem/1.5 Georgia,serif;overflow-wrap:break-word}
h1{font-size:1.5rem;font-weight:normal;line-height:1.25;margin:.3rem 0 1rem}
h2{font-size:1.15rem;margin:2rem 0 .6rem;line-height:1.3}h3{font-size:1.05rem;margin:1rem 0 .2rem}
p{margin:.35rem 0;max-width:42rem}a{color:var(--link)}code{overflow-wrap:anywhere}
.cmd{white-space:nowrap}
ul{margin:.3rem 0;padding-left:1.2rem;max-width:42rem}li{margin:.3rem 0}
.days{display:grid;gap:1rem;align-items:start}
@media(min-width:56rem){.days{grid-template-columns:1fr 1fr}}
.day{background:var(--card);border:1px solid var(--line);border-radius:10px;
padding:.8rem 1rem 1rem}.day h2{margin:0 0 .3rem}
.now{border:2px solid var(--ink)}
.jump{margin:0 0 1rem}.soft{color:var(--soft)}.warn{color:var(--warn);font-weight:bold}
.mind{border-left:4px solid var(--warn);padding:.1rem 0 .1rem .8rem;margin:.8rem 0 0}
.mind h3{margin:0}
.week{border-collapse:collapse;width:100%;max-width:42rem}
.week th{font-weight:normal;white-space:nowrap;width:6.4rem}
.week th,.week td{text-align:left;vertical-align:top;padding:.45rem .8rem .45rem 0;
border-bottom:1px solid var(--line)}.week p{margin:0}.week p+p{margin-top:.4rem}
.week .now th{font-weight:bold}.week tr.now{border:0}
.go{display:block;max-width:26rem;min-height:3rem;margin:.6rem 0;padding:.7rem 1rem;
border:0;border-radius:10px;background:var(--button);color:var(--on-button);
font:inherit;font-size:1.1rem;text-align:center;text-decoration:none;cursor:pointer}
button.go{width:100%}
details{max-width:42rem;margin:.5rem 0;border-bottom:1px solid var(--line)}
summary{padding:.6rem 0;cursor:pointer;min-height:2.75rem}
details svg,.code svg{background:#fff}.code svg{display:block}
table.blocks{border-collapse:collapse}.blocks th,.blocks td{text-align:left;
vertical-align:top;padding:.3rem 1rem .3rem 0;border-bottom:1px solid var(--line)}
figure{margin:0 0 1.5rem;overflow-x:auto}svg{max-width:100%;height:auto}
svg.narrow{display:none}
@media(max-width:46rem){svg.wide{display:none}svg.narrow{display:block;max-width:none}}
form{max-width:42rem;margin-top:2rem}
fieldset{border:1px solid var(--line);border-radius:10px;margin:0 0 1rem;padding:.6rem 1rem .9rem}
legend{padding:0 .4rem;font-size:1.1rem}
.picks{display:grid;gap:.5rem;grid-template-columns:repeat(2,1fr)}
.rates{grid-template-columns:repeat(4,1fr)}
.picks label{display:flex;align-items:center;gap:.5rem;min-height:2.9rem;padding:.2rem .7rem;
border:1px solid var(--line);border-radius:8px;background:var(--card);cursor:pointer}
.rates .all{grid-column:1/-1}
input{accent-color:var(--button);width:1.2rem;height:1.2rem;flex:none;margin:0}
select{font:inherit;min-height:2.9rem;width:100%;padding:.3rem;color:inherit;
background:var(--card);border:1px solid var(--line);border-radius:8px}
.pains{display:grid;gap:.6rem}@media(min-width:30rem){.pains{grid-template-columns:1fr 1fr 1fr}
.rates{grid-template-columns:repeat(6,1fr)}}
:focus-visible{outline:3px solid var(--warn);outline-offset:2px}
"""
STYLE = f"{ROOT}{LOOK}@media(prefers-color-scheme:dark){{{DARK}}}\n"
_TYPED = re.compile("`([^`<>]{1,60})`")
_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
BARE_POLICY = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
PAGE_POLICY = f"{BARE_POLICY}; style-src 'sha256-{_HASH}'"
FORM_POLICY = PAGE_POLICY.replace("form-action 'none'", "form-action 'self'")
HTML = "text/html; charset=utf-8"


def document(title: str, *inside: str, referrer: str = "no-referrer") -> str:
    """A whole page; `title` is bare text, what is inside is HTML.

    A page with a form says `same-origin`: with `no-referrer` browsers hide where a form comes from.
    """
    return "".join(
        [
            '<!doctype html><html lang="en"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="robots" content="noindex, nofollow">',
            f'<meta name="referrer" content="{referrer}">',
            f"<title>{escape(title)}</title><style>{STYLE}</style></head><body><main>",
            *inside,
            "</main></body></html>",
        ]
    )


def listed(texts: Sequence[str]) -> str:
    """A list of bare texts; nothing where there are none."""
    items = "".join(f"<li>{_text(text)}</li>" for text in texts)
    return f"<ul>{items}</ul>" if items else ""


def set_apart(heading: str, texts: Sequence[str]) -> str:
    """What must not be missed, each once; nothing where there is nothing."""
    told = listed(list(dict.fromkeys(texts)))
    return f'<div class="mind"><h3>{escape(heading)}</h3>{told}</div>' if told else ""


def paragraph(text: str, *, kind: str = "") -> str:
    """A paragraph of bare text; nothing where it is empty."""
    look = f' class="{kind}"' if kind else ""
    return f"<p{look}>{_text(text)}</p>" if text else ""


def _text(text: str) -> str:
    """Bare text; what stands in backquotes is to be typed."""
    return _TYPED.sub(r'<code class="cmd">\1</code>', escape(text))
