"""The words of the HTML Standard that `content_model` goes by: elements, what they hold, their attributes."""

from collections.abc import Mapping

Words = frozenset[str]


def _words(text: str) -> Words:
    return frozenset(text.split())


SVG = "{http://www.w3.org/2000/svg}svg"  # as the parser names it
HEADINGS = _words("h1 h2 h3 h4 h5 h6")
# 3.2.5.2.5, phrasing content; link and meta only where they are allowed in the body.
PHRASING = (
    _words(
        "a abbr b bdi br button canvas cite code data datalist "
        "del dfn em i img input ins kbd label mark meter "
        "noscript object output picture progress q s samp script select small span strong sub sup template "
        "textarea time u var video wbr"
    )
    | _words("option optgroup source")
    | {SVG}
)
PHRASING_ONLY = (
    HEADINGS
    | _words("p pre button label legend summary span strong em b i small time code abbr q s u mark output")
    | _words("kbd var sub sup data dfn cite samp option")
)
# What more those may hold than words.
ALSO: Mapping[str, Words] = {"legend": HEADINGS, "summary": HEADINGS}
TRANSPARENT = _words("a ins del noscript canvas")
PLAIN = (
    HEADINGS
    | _words(
        "title head p pre div span strong em b i small code "
        "abbr s u mark kbd var sub sup dfn cite samp header "
        "footer main nav section article aside address figure figcaption hr br wbr ul dl dt dd summary "
        "legend caption thead tbody tfoot tr datalist noscript picture template table search"
    )
    | {SVG}
)
_ROWS = _words("thead tbody tfoot tr")
CHILDREN: Mapping[str, Words] = {
    "ul": _words("li script template"),
    "ol": _words("li script template"),
    "dl": _words("dt dd div script template"),
    "table": _ROWS | _words("caption colgroup script template"),
    "thead": _words("tr script template"),
    "tbody": _words("tr script template"),
    "tfoot": _words("tr script template"),
    "tr": _words("td th script template"),
    "colgroup": _words("col template"),
    "select": _words("option optgroup hr script template"),
    "optgroup": _words("option script template"),
    "html": _words("head body"),
    "head": _words("title meta link script base style noscript template"),
}
PARENTS: Mapping[str, Words] = {
    "li": _words("ul ol menu"),
    "dt": _words("dl div"),
    "dd": _words("dl div"),
    "legend": _words("fieldset"),
    "summary": _words("details"),
    "figcaption": _words("figure"),
    "caption": _words("table"),
    "option": _words("select optgroup datalist"),
    "optgroup": _words("select"),
    "td": _words("tr"),
    "th": _words("tr"),
    "tr": _words("thead tbody tfoot table"),
    "col": _words("colgroup"),
    "title": _words("head"),
    "body": _words("html"),
    "head": _words("html"),
    "main": _words("body div form article"),
}
INTERACTIVE = _words("a button input select textarea label details iframe video")
LABELABLE = _words("button input meter output progress select textarea")
# 3.2.6, global attributes.
GLOBAL = _words(
    "accesskey autocapitalize autofocus class contenteditable dir draggable enterkeyhint hidden id inert "
    "inputmode is itemid itemprop lang nonce popover role slot spellcheck tabindex title translate"
)
ATTRIBUTES: Mapping[str, Words] = {
    "html": frozenset(),
    "body": frozenset(),
    "meta": _words("name content charset http-equiv media property"),
    "link": _words("rel href media type sizes as hreflang integrity crossorigin"),
    "script": _words("src type async defer integrity crossorigin nomodule"),
    "base": _words("href target"),
    "a": _words("href target rel download hreflang type ping referrerpolicy"),
    "img": _words("src alt width height srcset sizes loading decoding crossorigin usemap"),
    "form": _words("action method enctype autocomplete novalidate target name accept-charset rel"),
    "input": _words(
        "type name value checked disabled readonly required min max step minlength maxlength pattern "
        "placeholder size list autocomplete multiple accept "
        "capture form formaction formmethod formnovalidate "
        "alt src"
    ),
    "button": _words(
        "type name value disabled form formaction formmethod formnovalidate formenctype popovertarget"
    ),
    "select": _words("name multiple required size disabled autocomplete form"),
    "option": _words("value selected disabled label"),
    "optgroup": _words("label disabled"),
    "textarea": _words(
        "name rows cols required readonly disabled maxlength minlength placeholder autocomplete wrap form"
    ),
    "label": _words("for"),
    "fieldset": _words("disabled name form"),
    "output": _words("for name form"),
    "details": _words("open name"),
    "dialog": _words("open"),
    "td": _words("colspan rowspan headers"),
    "th": _words("colspan rowspan headers scope abbr"),
    "col": _words("span"),
    "colgroup": _words("span"),
    "ol": _words("start reversed type"),
    "li": _words("value"),
    "time": _words("datetime"),
    "data": _words("value"),
    "progress": _words("value max"),
    "meter": _words("value min max low high optimum"),
    "canvas": _words("width height"),
    "object": _words("data type width height name"),
    "source": _words("src srcset type media sizes"),
    "video": _words("src controls width height poster preload"),
    "q": _words("cite"),
    "ins": _words("cite datetime"),
    "del": _words("cite datetime"),
    "bdi": frozenset(),
}
NEEDED: Mapping[str, tuple[str, ...]] = {
    "html": ("lang",),
    "img": ("alt", "src"),
    "link": ("rel", "href"),
    "optgroup": ("label",),
    "data": ("value",),
    "meter": ("value",),
    "object": ("data",),
}
# What an input may carry by its type (4.10.5, the table of attributes).
_TYPED = _words("text search url tel email password")
_RANGED = _words("number range date month week time datetime-local")
OF_KIND: Mapping[str, Words] = {
    "min": _RANGED,
    "max": _RANGED,
    "step": _RANGED,
    "maxlength": _TYPED,
    "minlength": _TYPED,
    "pattern": _TYPED,
    "size": _TYPED,
    "placeholder": _TYPED | {"number"},
    "list": (_TYPED - {"password"}) | _RANGED | {"color"},
    "checked": _words("checkbox radio"),
    "multiple": _words("email file"),
    "accept": _words("file"),
    "capture": _words("file"),
    "readonly": _TYPED | (_RANGED - {"range"}),
    "required": _TYPED | (_RANGED - {"range"}) | _words("checkbox radio file"),
}
_YES_NO = _words("true false")
VALUES: Mapping[tuple[str, str], Words] = {
    ("input", "type"): _TYPED | _RANGED | _words("hidden checkbox radio file submit color button reset"),
    ("button", "type"): _words("button submit reset"),
    ("form", "method"): _words("get post dialog"),
    ("form", "enctype"): _words("multipart/form-data application/x-www-form-urlencoded text/plain"),
    ("th", "scope"): _words("row col rowgroup colgroup"),
    ("", "inputmode"): _words("none text decimal numeric tel search email url"),
    ("", "spellcheck"): _YES_NO,
    ("", "aria-hidden"): _YES_NO,
    ("", "aria-expanded"): _YES_NO,
    ("", "aria-pressed"): _YES_NO | {"mixed"},
    ("", "aria-invalid"): _YES_NO | _words("grammar spelling"),
    ("", "aria-disabled"): _YES_NO,
    ("", "aria-live"): _words("off polite assertive"),
    ("", "aria-current"): _YES_NO | _words("page step location date time"),
    ("", "aria-atomic"): _YES_NO,
    ("", "tabindex"): _words("0 -1"),  # any other makes an order of its own
    ("", "role"): _words(
        "alert alertdialog application article banner button "
        "cell checkbox columnheader combobox complementary "
        "contentinfo definition dialog document feed figure form grid gridcell group heading img link list "
        "listbox listitem log main marquee math menu menubar menuitem meter navigation none note option "
        "presentation progressbar radio radiogroup region row rowgroup rowheader scrollbar search searchbox "
        "separator slider spinbutton status switch tab table tablist tabpanel term textbox timer toolbar "
        "tooltip tree treegrid treeitem"
    ),
}
# WAI-ARIA 1.2, 6.6, without those that it calls deprecated on most roles.
ARIA = _words(
    "activedescendant atomic autocomplete busy checked colcount "
    "colindex colspan controls current describedby "
    "description details disabled errormessage expanded haspopup "
    "hidden invalid keyshortcuts label labelledby "
    "level live modal multiline multiselectable orientation "
    "owns placeholder posinset pressed readonly relevant "
    "required roledescription rowcount rowindex rowspan selected setsize sort valuemax valuemin valuenow "
    "valuetext"
)
# What names the id of another element, and the elements it may name; empty: any.
POINTS: Mapping[str, Words] = {
    "for": LABELABLE,
    "list": _words("datalist"),
    "form": _words("form"),
    "headers": _words("th td"),
    "aria-labelledby": frozenset(),
    "aria-describedby": frozenset(),
    "aria-controls": frozenset(),
    "aria-owns": frozenset(),
    "aria-details": frozenset(),
    "aria-errormessage": frozenset(),
    "aria-activedescendant": frozenset(),
}
