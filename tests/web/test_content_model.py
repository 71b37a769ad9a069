"""The check of content models finds what it is for, and passes what is right."""

import pytest

from tests.web.content_model import page_faults

HEAD = '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>A page</title></head>'


def a_page(inner: str) -> str:
    return f"{HEAD}<body><main><h1>A page</h1>{inner}</main></body></html>"


RIGHT = """
<h2>Part</h2><p>Words <a href="#list">and <em>more</em></a> <svg viewBox="0 0 1 1"><path d="M0 0"/></svg></p>
<ul id="list"><li><div><p>in a list</p></div></li></ul>
<dl><div><dt>term</dt><dd>said</dd></div></dl>
<table><caption>Sizes</caption><thead><tr><th scope="col">a</th></tr></thead>
<tbody><tr><td>1</td></tr></tbody></table>
<details><summary><h3>More</h3></summary><p>there</p></details>
<form action="/x" method="post"><fieldset><legend>Which</legend>
<label for="one">One</label> <input id="one" name="one" type="number" min="1" aria-describedby="list">
<label><input type="checkbox" name="two" value="yes"> Two</label>
<label for="three">Three</label><select id="three" name="three"><option value="">none</option></select>
<button type="submit">Send</button></fieldset></form>
"""


def test_a_page_that_is_right_passes() -> None:
    assert page_faults(a_page(RIGHT)) == []


@pytest.mark.parametrize(
    ("inner", "told"),
    [
        ("<ul><p>no</p></ul>", "ul holds p"),
        ("<ul>words<li>one</li></ul>", "ul holds words outside"),
        ("<div><li>one</li></div>", "li stands in div"),
        ("<dl><dd>first</dd></dl>", "dl begins with a dd"),
        ("<dl><dt>alone</dt></dl>", "the last dt of dl has no dd"),
        ("<dl><div><p>no</p></div><dt>a</dt><dd>b</dd></dl><dt>a</dt>", "dt stands in main"),
        ("<span><div>block</div></span>", "div stands in span"),
        ("<h2><p>block</p></h2>", "p stands in h2"),
        ("<a href='/'><p>fine</p></a><span><a href='/'><p>not</p></a></span>", "p stands in span"),
        ("<button type='button'><ul><li>no</li></ul></button>", "ul stands in button"),
        ("<a href='/'><button type='button'>x</button></a>", "button lies in a"),
        ("<button type='button'><a href='/'>x</a></button>", "a lies in button"),
        ("<a href='/'><span tabindex='0'>x</span></a>", "span lies in a"),
        ("<label>a <input name='x'> <input name='y'></label>", "more than one field"),
        ("<label>nothing</label>", "a label names no field"),
        ("<label for='a'>x <input id='b' name='b'></label><input id='a' name='a'>", "holds another field"),
        ("<label for='gone'>x</label>", "names gone, which is not there"),
        ("<label for='p'>x</label><p id='p'>x</p>", "names p, which is a p"),
        ("<p aria-describedby='gone'>x</p>", "names gone"),
        ("<p id='a'>x</p><p id='a'>y</p>", "the id a stands 2 times"),
        ("<svg id='a'></svg><p id='a'>y</p>", "the id a stands 2 times"),
        ("<p id='a b'>y</p>", "holds a space"),
        ("<a href='#gone'>x</a>", "leads nowhere"),
        ("<h3>deep</h3>", "h3 “deep” follows h1"),
        ("<h2></h2>", "an empty h2"),
        ("<h1>again</h1>", "2 h1 on the page"),
        ("<img src='/a.jpg'>", "img lacks alt"),
        ("<p align='left'>x</p>", "p has no attribute align"),
        ("<table border='1'><tr><td>x</td></tr></table>", "table has no attribute border"),
        ("<center>x</center>", "center is no element"),
        ("<p onclickk='x'>x</p>", "no attribute onclickk"),
        ("<p aria-labeled='x'>x</p>", "no state of ARIA"),
        ("<p role='knob'>x</p>", 'role="knob"'),
        ("<p tabindex='3'>x</p>", 'tabindex="3"'),
        ("<button type='push'>x</button>", 'type="push"'),
        ("<label for='i'>x</label><input id='i' min='1'>", "min on an input of type text"),
        ("<label for='i'>x</label><input id='i' type='number' maxlength='4'>", "maxlength on an input"),
        ("<details><p>x</p></details>", "does not begin with its summary"),
        ("<fieldset><p>x</p><legend>y</legend></fieldset>", "legend is not the first"),
        ("<form method='put'><p>x</p></form>", 'method="put"'),
    ],
)
def test_what_is_wrong_is_told(inner: str, told: str) -> None:
    faults = page_faults(a_page(inner))
    assert any(told in fault for fault in faults), faults


def test_a_page_without_its_language_or_with_two_mains_is_told() -> None:
    page = a_page("<p>x</p>").replace(' lang="en"', "").replace("</main>", "</main><main></main>")
    assert {"html lacks lang", "2 main on the page"} <= set(page_faults(page))
