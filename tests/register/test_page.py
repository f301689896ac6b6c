"""The page of the register in a real browser: searched, filtered and sorted, by keyboard alone, without a network."""

import json
import os
from datetime import date
from shutil import which

import pytest

from pipeline.register import Kind, Register, Wish
from pipeline.register.listing import lines_of
from pipeline.register.page import page_of

NOW = "2026-11-24T12:00:00+00:00"
TODAY = date(2026, 11, 24)
BROWSER = next(filter(None, map(which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = [
    pytest.mark.xdist_group("browser"),
    # in continuous integration it must be there
    pytest.mark.skipif(not BROWSER and not os.environ.get("CI"), reason="there is no Chromium on this desk"),
]


def record(client, due="", inspection="10 Nov 2036"):
    row = {"client": {"shown": client}, "site": {"shown": "2 Sample Road"}, "next_inspection": {"shown": inspection}}
    told = {"rule": "building_control_is_told", "subject": "Building control", "expected": f"told by {due}"}
    told["verdict"] = "note" if due else "not applicable"
    return json.dumps({"job": {"row": row}, "findings": [told] if due else [], "as_of": "2026-11-20"}).encode()


def issued(register, name, how="ink"):
    files = {f"{name}-release.json": "0"} | ({f"{name}-signed-handover-pack.pdf": "0"} if how == "key" else {})
    register.issue(register.standing(name), NOW, {"how": how, "release": files}, {"person": "PEX"})


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    """A page of six packs: one of each kind of work for the office."""
    folder = tmp_path_factory.mktemp("page")
    with Register.open(folder / "register.sqlite", NOW) as register:
        wishes = [
            Wish("A", "k", record("Sam Sample", "20 Nov 2026")),
            Wish("B", "k", record("Robin Sample", inspection="01 Jan 2026")),
            Wish("C", "k", record("<b>Bold & Co</b>", "20 Dec 2026", "01 Feb 2027")),
            Wish("D", "k", record("Alex Placeholder")),
            Wish("E", "k", record("Kim Nobody")),
        ]
        for each in register.reserve(wishes, NOW, "2026-11-24")[:4]:
            register.awaiting(each, {}, {}, NOW)
        issued(register, "0003-1", "key")
        issued(register, "0004-1")
        [revised] = register.reserve([Wish("D", "k2", record("Alex Placeholder"), "length")], NOW, "2026-11-24")
        register.awaiting(revised, {}, {}, NOW)
        issued(register, "0004-2")
        assert register.standing("0004-1").state is Kind.SUPERSEDED
        text = page_of(lines_of(register), TODAY, register.check_value())
    (folder / "index.html").write_text(text, encoding="utf-8")
    return folder / "index.html"


@pytest.fixture(scope="module")
def browser():
    from playwright.sync_api import sync_playwright

    assert BROWSER, "continuous integration needs Chromium: apt-get install chromium"
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=BROWSER, args=["--no-sandbox"])
        yield opened
        opened.close()


@pytest.fixture
def page(browser, path):
    """The page as the office opens it; whatever it asks of a network, or complains of, fails the test."""
    opened = browser.new_page()
    strange = []
    opened.on("request", lambda asked: None if asked.url.startswith("file:") else strange.append(asked.url))
    opened.on("console", lambda said: strange.append(said.text))
    opened.on("pageerror", lambda trouble: strange.append(str(trouble)))
    opened.goto(path.as_uri())
    yield opened
    opened.close()
    assert strange == []


def shown(page):
    rows = page.locator("tbody tr")
    return [each.get_attribute("id") for each in rows.all() if each.is_visible()]


def test_all_packs_stand_there_with_words_for_their_states_and_links_to_their_files(page, path):
    assert shown(page) == ["0001-1", "0002-1", "0003-1", "0004-1", "0004-2", "0005-1"]
    assert page.locator("output").inner_text() == "6 of 6 packs"
    links = {each.inner_text(): each.get_attribute("href") for each in page.locator("td:first-child a").all()}
    assert links["0003-1"] == "packs/0003-1/0003-1-signed-handover-pack.pdf"
    assert links["0001-1"] == "packs/0001-1/0001-1-handover-pack.pdf"
    assert "0005-1" not in links
    assert page.locator("[id='0004-1'] td:nth-child(3)").inner_text() == "superseded by 0004-2"
    assert page.locator("[id='0003-1'] td:nth-child(6)").inner_text() == "<b>Bold & Co</b>"


def test_the_search_is_typed_and_narrows_the_table(page):
    page.keyboard.press("Tab")
    page.keyboard.type("robin")
    assert shown(page) == ["0002-1"]
    assert page.locator("output").inner_text() == "1 of 6 packs"
    page.keyboard.press("Enter")
    assert shown(page) == ["0002-1"]


@pytest.mark.parametrize(
    ("task", "packs"),
    [
        ("sign", ["0001-1", "0002-1"]),
        ("tell", ["0001-1", "0003-1"]),
        ("late", ["0001-1"]),
        ("soon", ["0003-1"]),
        ("past", ["0002-1"]),
    ],
)
def test_what_is_to_do_is_chosen_from_one_list_which_counts_it(page, task, packs):
    choice = page.locator("select[name=task]")
    assert f"({len(packs)})" in choice.locator(f"option[value={task}]").inner_text()
    choice.select_option(task)
    assert shown(page) == packs


def test_a_state_and_a_task_narrow_together(page):
    page.locator("select[name=state]").select_option("issued")
    assert shown(page) == ["0003-1", "0004-2"]
    page.locator("select[name=task]").select_option("tell")
    assert shown(page) == ["0003-1"]


def test_everything_is_reached_and_worked_by_keyboard(page):
    seen = []
    for _ in range(3 + 11):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("document.activeElement.name || document.activeElement.textContent"))
    assert seen[:3] == ["search", "state", "task"]
    assert seen[3:6] == ["Pack", "Job", "State"]
    page.locator("th button", has_text="Client").focus()
    page.keyboard.press("Enter")
    assert page.locator("th", has_text="Client").get_attribute("aria-sort") == "ascending"
    assert shown(page)[0] == "0003-1"
    page.keyboard.press("Space")
    assert page.locator("th", has_text="Client").get_attribute("aria-sort") == "descending"
    assert shown(page)[-1] == "0003-1"
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"


def test_days_are_sorted_as_days_and_blanks_come_last(page):
    page.locator("th button", has_text="Next inspection").click()
    assert shown(page)[:2] == ["0002-1", "0003-1"]
    assert shown(page)[-2:] == ["0004-1", "0005-1"]


def test_without_scripts_the_whole_table_still_stands_there(browser, path):
    context = browser.new_context(java_script_enabled=False)
    opened = context.new_page()
    opened.goto(path.as_uri())
    assert len(shown(opened)) == 6
    assert not opened.locator("form").is_visible()
    context.close()
