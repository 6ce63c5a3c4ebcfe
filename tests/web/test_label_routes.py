"""Labels over the network."""

import pypdfium2
import pytest
import zxingcpp
from benchbell.settings import Settings
from benchbell.web.app import create_app
from labels.recorded import BUILD, NEW_CODE, record_sample
from litestar.testing import TestClient


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    folder = tmp_path_factory.mktemp("labels")
    (folder / "index.html").write_text("the page", encoding="utf-8")
    record_sample(folder)
    app = create_app(Settings(folder, (), folder, local=True))
    with TestClient(app, base_url="http://127.0.0.1") as client:
        yield client


def labels(client, form, **query):
    return client.get(f"/builds/{BUILD}/labels.{form}", params=query)


def test_the_pdf_opens_the_server_by_the_name_it_was_asked_by(client):
    pdf = pypdfium2.PdfDocument(labels(client, "pdf", only="A/leg-2").content)
    (seen,) = zxingcpp.read_barcodes(pdf[0].render(scale=300 / 72).to_numpy())

    assert seen.text == f"HTTPS://127.0.0.1/P/{NEW_CODE}"


def test_figures_and_findings_come_first(client):
    answer = labels(client, "json", paper="roll 25 mm", size="15 mm", kind=["station", "rack"]).json()

    assert (answer["labels"], answer["pages"]) == (4, 4)
    assert {finding["rule"] for finding in answer["findings"]} == {"square-too-fine"}


def test_the_page_fetches_its_style_and_nothing_else(client):
    page = labels(client, "html", paper="Letter", rows=5, columns=2)
    link = page.text.split('href="')[1].split('"')[0].replace("&amp;", "&")

    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert "script" not in page.text
    assert "@page { size: 215.9mm 279.4mm; margin: 0 }" in client.get(link).text


@pytest.mark.parametrize("form", ["json", "pdf", "html"])
@pytest.mark.parametrize(
    ("query", "status"),
    [({"paper": "B9"}, 400), ({"rows": 0}, 400), ({"first": 22}, 400), ({"only": "none"}, 400), ({"copies": 51}, 400)],
)
def test_what_cannot_be_printed_is_refused_in_the_one_shape(client, form, query, status):
    answer = labels(client, form, **query)

    assert (answer.status_code, {*answer.json()}) == (status, {"error"})


def test_a_build_nobody_started_has_no_labels(client):
    answer = client.get("/builds/01936b00-0000-7000-8000-00000000ffff/labels.pdf")

    assert answer.status_code == 404
    assert answer.json()["error"]["what"] == "There is no build 01936b00-0000-7000-8000-00000000ffff."
