"""Labels are laid out on the phone and come from the server as a file or a page."""

import pypdfium2
from browser.maker import expect_synced, start_build
from playwright.sync_api import Page, expect


def ready_to_print(page: Page) -> None:
    start_build(page)
    expect_synced(page)
    page.get_by_role("link", name="Labels").click()
    expect(page.get_by_role("heading", level=1, name="Print labels")).to_be_visible()


def look_over(page: Page) -> None:
    page.get_by_role("button", name="Look it over").click()


def downloaded(page: Page) -> pypdfium2.PdfDocument:
    with page.expect_download() as coming:
        page.get_by_role("link", name="PDF").click()
    return pypdfium2.PdfDocument(coming.value.path())


def test_the_number_of_labels_and_pages_is_told_first(phone):
    ready_to_print(phone)

    expect(phone.get_by_text("4 labels on 1 page.")).to_be_visible()

    phone.get_by_role("button", name="Stations").click()
    phone.get_by_label("Copies of each").fill("3")
    phone.get_by_label("First free label").fill("20")
    look_over(phone)

    expect(phone.get_by_text("labels on 2 pages.")).to_be_visible()


def test_a_roll_prints_a_label_a_page_of_its_size(phone):
    ready_to_print(phone)
    phone.get_by_role("radio", name="A roll").check()
    phone.get_by_label("Width of the roll").fill("2 in")
    phone.get_by_label("Height of a label").fill("30 mm")
    look_over(phone)
    expect(phone.get_by_text("4 labels on 4 pages.")).to_be_visible()
    pdf = downloaded(phone)

    # 2 in is 144 points; 30 mm is 30 / 25.4 × 72 points.
    assert len(pdf) == 4
    assert [round(side, 1) for side in pdf[0].get_size()] == [144.0, 85.0]


def test_labels_too_small_to_scan_are_named_before_they_are_printed(phone):
    ready_to_print(phone)
    phone.get_by_label("Rows").fill("17")
    phone.get_by_label("Columns").fill("7")
    look_over(phone)

    expect(phone.locator(".findings")).to_contain_text("has no room for an address: its square holds only the code.")


def test_what_cannot_be_cut_is_said_with_the_next_step(phone):
    ready_to_print(phone)
    phone.get_by_label("First free label").fill("22")
    look_over(phone)

    expect(phone.locator(".notice")).to_contain_text("The first free label is number 22, but a page has 21.")


def test_one_parts_label_is_printed_alone(phone):
    start_build(phone)
    expect_synced(phone)
    phone.get_by_role("link", name="Cut the sides").first.click()
    phone.get_by_role("link", name="About Side 1").click()
    code = phone.locator(".code").first.inner_text()
    phone.get_by_role("link", name="Its label").click()
    expect(phone.get_by_text("1 label on 1 page.")).to_be_visible()
    words = downloaded(phone)[0].get_textpage().get_text_range()

    assert code in words
    assert "Side 2" not in words


def test_a_new_label_alone_is_printed_on_the_rest_of_the_last_sheet(phone):
    ready_to_print(phone)
    phone.get_by_label("Columns").fill("4")
    look_over(phone)
    expect(phone.get_by_text("4 labels on 1 page.")).to_be_visible()
    downloaded(phone)
    phone.go_back()
    phone.get_by_role("link", name="Cut the sides").first.click()
    phone.get_by_role("link", name="About Side 1").click()
    phone.get_by_role("button", name="Spoiled").click()
    phone.get_by_role("button", name="Cut too short").click()
    phone.get_by_role("button", name="It is spoiled").click()
    phone.get_by_role("button", name="Make it again").click()
    code = phone.locator(".notice").inner_text().split("Put ")[1][:9]
    expect_synced(phone)
    phone.get_by_role("link", name="Print the new label").click()
    expect(phone.get_by_text("1 label on 1 page.")).to_be_visible()
    expect(phone.get_by_label("Columns")).to_have_value("4")
    expect(phone.get_by_label("First free label")).to_have_value("5")
    sheet = downloaded(phone)[0]
    words = sheet.get_textpage()

    assert code in words.get_text_range()
    assert "Side 2" not in words.get_text_range()
    left, _, _, top = next(
        words.get_charbox(n) for n in range(words.count_chars()) if words.get_text_range(n, 1) == code[0]
    )
    # The fifth of seven rows of four: second row, first column. A4 is 595 by 842 points.
    assert left < 595 / 4
    assert 842 * 5 / 7 < top < 842 * 6 / 7


def test_the_page_to_print_is_the_servers_and_keeps_to_its_policy(phone):
    complaints = []
    phone.on("console", lambda said: complaints.append(said.text))
    ready_to_print(phone)
    phone.get_by_role("link", name="From the browser").click()
    expect(phone.locator("svg text").filter(has_text="Side 1").first).to_be_visible()

    assert phone.evaluate("document.querySelectorAll('body > svg').length") == 1
    assert phone.evaluate("getComputedStyle(document.body).margin") == "0px"
    assert complaints == []


def test_with_the_server_away_it_says_so(phone, server):
    ready_to_print(phone)
    server.kill()
    phone.get_by_label("Rows").fill("5")
    look_over(phone)

    expect(phone.locator(".notice")).to_contain_text("The server does not answer.")
