//! The report as a browser prints it. These tests need `chromium` and `pdftotext`, which `.ci/run` installs; they are
//! run by `cargo test -- --ignored browser`.

use crate::case::{dryledger, root};
use crate::cli::small_study;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use std::process::Command;
use tempfile::TempDir;

/// The browser, with a profile in this folder.
pub(crate) fn chromium(folder: &Path) -> Command {
    let mut browser = Command::new("chromium");
    browser
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .arg(format!("--user-data-dir={}", folder.join("profile").display()));
    browser
}

/// Texts of the pages of a report, printed on a paper.
fn printed(page: &Path, paper: &str) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    let html = fs::read_to_string(page).expect("a page");
    let sized = html.replace("</head>", &format!("<style>@page {{ size: {paper} }}</style></head>"));
    fs::write(path("page.html"), sized).expect("written");
    let ran = chromium(folder.path())
        .arg("--no-pdf-header-footer")
        .arg(format!("--print-to-pdf={}", path("page.pdf").display()))
        .arg(format!("file://{}", path("page.html").display()))
        .output()
        .expect("chromium runs");
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    let text = Command::new("pdftotext").arg(path("page.pdf")).arg("-").output().expect("pdftotext runs");
    let text = String::from_utf8(text.stdout).expect("UTF-8");
    text.split('\u{c}').map(str::to_owned).collect()
}

/// The sheet fills one page and nothing else does: its last list ends on the first page, the facts begin on the second.
fn assert_sheet_is_one_page(page: &Path, name: &str) {
    for paper in ["A4", "Letter"] {
        let pages = printed(page, paper);
        let (first, second) = (&pages[0], &pages[1]);
        for words in
            ["What each way of heating costs in a year", "The bill by month", "Three figures", "What to do next"]
        {
            assert!(first.contains(words), "{name} on {paper}: no '{words}' on the first page");
        }
        assert!(second.trim_start().starts_with("Nuts"), "{name} on {paper}: the sheet runs over: {second}");
    }
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_prints_the_sheet_of_each_bundled_study_on_one_page() {
    for name in ["demo", "walnut", "two-rooms"] {
        assert_sheet_is_one_page(&root().join("reports").join(name).join("report.html"), name);
    }
}

/// What a case is called, and what it makes of the study.
type Change<'a> = (&'a str, Box<dyn FnOnce(String) -> String + 'a>);

/// The small study, changed; its report. Weather of five years lies beside it, each cooler than the one before.
fn changed(change: impl FnOnce(String) -> String) -> TempDir {
    let folder = small_study();
    let path = folder.path().join("study.toml");
    let text = change(fs::read_to_string(&path).expect("text"));
    fs::write(&path, text).expect("written");
    let weather = fs::read_to_string(folder.path().join("weather.csv")).expect("weather");
    for year in 2032..2036 {
        let cooler = |line: &str| -> String {
            let mut cells: Vec<String> = line.split(',').map(str::to_owned).collect();
            let dry_bulb = cells.get(1).and_then(|cell| cell.parse::<f64>().ok());
            if let ("2031", Some(dry_bulb)) = (line.get(..4).unwrap_or_default(), dry_bulb) {
                cells[0] = cells[0].replace("2031", &year.to_string());
                cells[1] = format!("{:.1}", dry_bulb - 0.7 * f64::from(year - 2031));
            }
            cells.join(",")
        };
        let text: Vec<String> = weather.lines().map(cooler).collect();
        fs::write(folder.path().join(format!("weather_{year}.csv")), text.join("\n")).expect("written");
    }
    let ran = dryledger(&["report", "study.toml", "--samples", "12"]).in_folder(folder.path()).run();
    ran.ends_well();
    folder
}

/// Studies that few people have and some will: what is one, many, nothing, long, or in another writing.
fn odd_studies() -> Vec<Change<'static>> {
    let options = |count: usize, name: &str| {
        let mut text = String::new();
        for at in 0..count {
            let _ = write!(
                text,
                "[[option]]\nname = \"{name} {at}\"\nsources = [\"gas heater\"]\ncapital = {}.0\n\n",
                100 * at
            );
        }
        text
    };
    let with_options = |text: String, more: &str| text.replace("[money]\n", &format!("{more}[money]\n"));
    let only_electric = |text: String| without(&text, "[[option]]\nname = \"gas\"", "[money]");
    let option = |name: &str, capital: u32| {
        format!("[[option]]\nname = \"{name}\"\nsources = [\"heaters\"]\ncapital = {capital}.0\n\n")
    };
    let without_store = |text: String| {
        let text = without(&text, "[cool_store]", "[carrier.electricity]");
        without(&text, "[[option]]\nname = \"condensers in room\"", "[money]")
    };
    let four_rooms = |text: String| {
        let room = &text[text.find("[[room]]").expect("a room")..text.find("[cool_store]").expect("a store")];
        let others = [18, 16, 14].iter().enumerate().map(|(at, moisture)| {
            let name = format!("name = \"room {} of a long row\"", at + 1);
            format!(
                "{}transfer_at_moisture = {moisture}.0\n\n",
                room.replace("name = \"room\"", &name).trim_end().to_owned() + "\n"
            )
        });
        let others: String = others.collect();
        text.replacen("[[room]]", &format!("{others}[[room]]"), 1)
    };
    let years = "files = [\"weather.csv\", \"weather_2032.csv\", \"weather_2033.csv\", \"weather_2034.csv\", \"weather_2035.csv\"]";
    let level = [("electric again", 1), ("electric once more", 2), ("electric, a fourth time", 3)];
    let level: String = level.iter().map(|(name, capital)| option(name, *capital)).collect();
    let prices = |heaters: &'static str, gas: &'static str, lpg: &'static str, electricity: &'static str| {
        move |text: String| {
            let text = text.replace("capital = 5000.0", heaters).replace("capital = 9000.0", gas);
            text.replace("price = 1.35", lpg).replace("tariff = \"tariff.toml\"", electricity)
        }
    };
    let other_writing = |text: String| {
        [
            ("\"A week of nuts (invented)\"", "\"収穫の一週間（架空）\""),
            ("\"electric\"", "\"ไฟฟ้า เครื่องทำความร้อน\""),
            ("\"gas\"", "\"غاز الوقود في الغرفة\""),
            ("\"heaters\"", "\"Нагреватели воздуха\""),
            ("\"room\"\nair", "\"乾燥室\"\nair"),
            ("\"condensers in room\"", "\"凝縮器を乾燥室に置く（長い名前の例）\""),
        ]
        .iter()
        .fold(text, |text, (old, new)| text.replace(old, new))
    };
    vec![
        ("as it is", Box::new(|text| text)),
        ("one option", Box::new(only_electric)),
        (
            "twenty options",
            Box::new(move |text| with_options(text, &options(20, "gas with a name of some length, number"))),
        ),
        ("long names", Box::new(move |text| with_options(text, &options(3, &"a name without an end ".repeat(5))))),
        ("nothing able", Box::new(|text| text.replace("capacity_kw = 30.0", "capacity_kw = 1.0"))),
        (
            "a currency of small units",
            Box::new(|text| text.replace("\"USD\"", "\"VND\"").replace("price = 1.35", "price = 35000.0")),
        ),
        ("no cool store", Box::new(without_store)),
        ("four rooms", Box::new(four_rooms)),
        ("five years", Box::new(move |text| text.replace("files = [\"weather.csv\"]", years))),
        ("huge numbers", Box::new(prices("capital = 5e9", "capital = 9e9", "price = 13500000.0", "price = 900000.0"))),
        ("tiny numbers", Box::new(prices("capital = 0.05", "capital = 0.09", "price = 0.0000135", "price = 0.000002"))),
        ("names in other writings", Box::new(other_writing)),
        (
            "everything level",
            Box::new(move |text| {
                let text = without(&text, "[[option]]\nname = \"gas\"", "[money]");
                with_options(text, &level)
            }),
        ),
    ]
}

/// A text without what stands from one mark up to another.
fn without(text: &str, from: &str, until: &str) -> String {
    let (from, until) = (text.find(from).expect("its start"), text.find(until).expect("its end"));
    format!("{}{}", &text[..from], &text[until..])
}

/// Every second odd study, from this one on: two tests share them, so that both cores of a small machine have work.
fn assert_odd_studies_are_readable(from: usize) {
    let mut all = Vec::new();
    for (name, change) in odd_studies().into_iter().skip(from).step_by(2) {
        let folder = changed(change);
        let page = folder.path().join("report.html");
        assert_sheet_is_one_page(&page, name);
        all.extend(unreadable(&page).into_iter().map(|line| format!("{name}, {line}")));
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_shows_odd_studies_on_a_sheet_of_one_page_and_with_no_words_clipped() {
    assert_odd_studies_are_readable(0);
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_shows_other_odd_studies_on_a_sheet_of_one_page_and_with_no_words_clipped() {
    assert_odd_studies_are_readable(1);
}

/// Most sheets and words that the demo's body may take: all between the owner's sheet and the appendix.
const MOST_SHEETS: usize = 16;
const MOST_WORDS: usize = 4000;

/// Words on a sheet: what holds two letters in a row, so that neither numbers nor the initials of months count; its
/// foot left out.
fn words(sheet: &str) -> usize {
    let is_foot = |line: &str| {
        let line = line.trim();
        line == "Estimates for planning, not a design"
            || line.ends_with(|c: char| c.is_ascii_digit()) && line.contains(" of ") && line.len() < 12
    };
    let kept = sheet.lines().filter(|line| !is_foot(line));
    let is_word = |word: &&str| {
        let letters: Vec<bool> = word.chars().map(char::is_alphabetic).collect();
        letters.windows(2).any(|pair| pair[0] && pair[1])
    };
    kept.flat_map(str::split_whitespace).filter(is_word).count()
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_prints_the_body_of_the_demo_on_few_sheets_and_in_few_words() {
    let page = root().join("reports/demo/report.html");
    for paper in ["A4", "Letter"] {
        let sheets = printed(&page, paper);
        let appendix = sheets.iter().position(|sheet| sheet.trim_start().starts_with("Appendix A"));
        let body = &sheets[1..appendix.expect("an appendix that begins a sheet")];
        let said: usize = body.iter().map(|sheet| words(sheet)).sum();
        assert!(body.len() <= MOST_SHEETS, "{} sheets of {paper}", body.len());
        assert!(said <= MOST_WORDS, "{said} words on {paper}");
        // A sheet that is nearly empty is a break in the wrong place.
        let empty = body[..body.len() - 1].iter().position(|sheet| sheet.len() < 300);
        assert_eq!(empty, None, "a sheet of {paper} is nearly empty");
    }
}

/// How a page is looked at.
#[derive(Clone, Copy)]
struct Look {
    name: &'static str,
    /// The style for paper alone, so that its layout can be measured.
    on_paper: bool,
    /// Width of the window, px.
    width: u32,
    dark: bool,
}

const LOOKS: [Look; 7] = [
    Look { name: "phone", on_paper: false, width: 360, dark: false },
    Look { name: "tablet", on_paper: false, width: 768, dark: false },
    Look { name: "wide", on_paper: false, width: 1280, dark: false },
    // 210 and 216 mm less the margins of the page, at 96 px an inch.
    Look { name: "A4", on_paper: true, width: 680, dark: false },
    Look { name: "Letter", on_paper: true, width: 703, dark: false },
    Look { name: "dark", on_paper: false, width: 1280, dark: true },
    Look { name: "dark phone", on_paper: false, width: 360, dark: true },
];

impl Look {
    /// The page as it is then: what asks for a paper or for the dark is answered in its style.
    fn at(self, html: &str) -> String {
        let html = if self.on_paper {
            html.replace("@media print", "@media all").replace("@media screen", "@media (width < 0px)")
        } else {
            html.to_owned()
        };
        html.replace("(prefers-color-scheme: dark)", if self.dark { "(width > 0px)" } else { "(width < 0px)" })
    }
}

/// What a script writes down of a page in a browser: a line each.
pub(crate) fn found(html: &str, more: &[&str]) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let looked = folder.path().join("page.html");
    fs::write(&looked, html).expect("written");
    let ran = chromium(folder.path())
        .arg("--dump-dom")
        .args(more)
        .arg(format!("file://{}", looked.display()))
        .output()
        .expect("chromium runs");
    let text = String::from_utf8(ran.stdout).expect("UTF-8");
    let (_, found) = text.split_once("<pre id=\"found\">").unwrap_or_else(|| panic!("nothing was looked at: {text}"));
    let (found, _) = found.split_once("</pre>").expect("its end");
    found.lines().map(str::to_owned).collect()
}

/// What nobody could read of a page, looked at in every way at once: a frame each, of its width.
fn unreadable(page: &Path) -> Vec<String> {
    const BOXES: &str = include_str!("browser/boxes.js");
    const ALL: &str = include_str!("browser/frames.js");
    let html = fs::read_to_string(page).expect("a page");
    let script = format!("<script>{BOXES}</script></body>");
    let quoted = |html: &str| html.replace('&', "&amp;").replace('"', "&quot;");
    let mut frames = String::new();
    for look in LOOKS {
        let srcdoc = quoted(&look.at(&html).replace("</body>", &script));
        let _ = write!(
            frames,
            "<iframe title=\"{}\" style=\"width: {}px; height: 1200px; border: 0\" srcdoc=\"{srcdoc}\"></iframe>",
            look.name, look.width
        );
    }
    let all = format!(
        "<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"></head><body>{frames}<script>{ALL}</script></body></html>"
    );
    found(&all, &["--window-size=1400,1200"])
}

#[test]
#[ignore = "needs chromium and pdftotext"]
fn browser_shows_no_words_that_are_clipped_or_lie_on_each_other() {
    let mut all = Vec::new();
    for name in ["demo", "walnut", "two-rooms"] {
        let page = root().join("reports").join(name).join("report.html");
        all.extend(unreadable(&page).into_iter().map(|line| format!("{name}, {line}")));
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}
