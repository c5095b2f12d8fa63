//! The workbook as a spreadsheet program works it. These tests need LibreOffice Calc (`soffice`), which `.ci/run` installs;
//! they are run by `cargo test -- --ignored office`.

use crate::cli::workbook::{Options, assert_money, opened, reported, rich, rows};
use calamine::{Data, Reader};
use std::fs;
use std::io::{Cursor, Read, Write};
use std::path::Path;
use std::process::Command;
use std::sync::{Mutex, PoisonError};

/// The workbook with every formula worked anew, whatever values it brought along.
fn worked(bytes: &[u8]) -> Vec<u8> {
    const ALWAYS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry"><item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item></oor:items>"#;
    // Two that start at once on a machine on which none has run yet can trip over each other.
    static ALONE: Mutex<()> = Mutex::new(());
    let _alone = ALONE.lock().unwrap_or_else(PoisonError::into_inner);
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    fs::create_dir_all(path("profile/user")).expect("a folder");
    fs::write(path("profile/user/registrymodifications.xcu"), ALWAYS).expect("written");
    fs::write(path("report.xlsx"), bytes).expect("written");
    let ran = Command::new("soffice")
        .arg(format!("-env:UserInstallation=file://{}", path("profile").display()))
        .args(["--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir"])
        .arg(path("worked"))
        .arg(path("report.xlsx"))
        .output()
        .expect("soffice runs");
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
    fs::read(path("worked/report.xlsx")).expect("a workbook")
}

/// The workbook with another number in the cell of a name.
fn with(bytes: &[u8], name: &str, value: f64) -> Vec<u8> {
    let book = opened(bytes);
    let known = book.defined_names().iter().find(|(known, _)| known == name).expect(name);
    let (sheet, cell) = known.1.split_once('!').expect("a cell");
    let at = book.sheet_names().iter().position(|known| known == sheet).expect("a sheet");
    let (part, cell) = (format!("xl/worksheets/sheet{}.xml", at + 1), cell.replace('$', ""));
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).expect("a zip");
    let mut changed = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for index in 0..archive.len() {
        let mut file = archive.by_index(index).expect("a part");
        let name = file.name().expect("a name").into_owned();
        let mut text = Vec::new();
        file.read_to_end(&mut text).expect("bytes");
        if name == part {
            let xml = String::from_utf8(text).expect("UTF-8");
            let from = xml.find(&format!("<c r=\"{cell}\"")).expect("the cell");
            let number = from + xml[from..].find("<v>").expect("a number") + 3;
            let until = number + xml[number..].find("</v>").expect("its end");
            text = format!("{}{value}{}", &xml[..number], &xml[until..]).into_bytes();
        }
        changed.start_file(name, zip::write::SimpleFileOptions::default()).expect("a part");
        changed.write_all(&text).expect("written");
    }
    changed.finish().expect("a zip").into_inner()
}

/// Cells of all sheets in which a program's own working gives another value than the one that was written with it.
fn differences(written: &[u8], worked: &[u8]) -> Vec<String> {
    let (mut before, mut after) = (opened(written), opened(worked));
    let mut found = Vec::new();
    for sheet in before.sheet_names() {
        let (rows_before, rows_after) = (rows(&mut before, &sheet), rows(&mut after, &sheet));
        for (at, row) in rows_before.iter().enumerate() {
            for (column, cell) in row.iter().enumerate() {
                let other = rows_after.get(at).and_then(|row| row.get(column)).unwrap_or(&Data::Empty);
                let is_same = match (cell, other) {
                    (Data::Float(a), Data::Float(b)) => (a - b).abs() <= 1e-6_f64.max(1e-9 * a.abs()),
                    _ => cell.to_string() == other.to_string(),
                };
                if !is_same {
                    found.push(format!("{sheet}, row {}, column {}: {cell} is {other}", at + 1, column + 1));
                }
            }
        }
    }
    found
}

fn changed_study(folder: &Path, set: &str) -> serde_json::Value {
    reported(folder, &["--set", set]).1
}

#[test]
#[ignore = "needs LibreOffice"]
fn office_works_every_formula_to_the_value_that_is_written_with_it() {
    let (bytes, figures) = reported(rich().path(), &[]);
    let worked = worked(&bytes);
    assert_eq!(differences(&bytes, &worked), Vec::<String>::new());
    assert_money(&Options::of(&mut opened(&worked)), &figures, "worked anew");
}

/// Another price in the workbook gives the money of the study with that price.
#[test]
#[ignore = "needs LibreOffice"]
fn office_follows_what_is_changed_as_the_study_does() {
    let folder = rich();
    let (bytes, before) = reported(folder.path(), &[]);
    for (name, value, set) in [
        ("price_lpg", 2.05, "carrier.lpg.price=2.05"),
        ("discount_rate", 0.08, "money.discount_rate=0.08"),
        ("analysis_years", 17.0, "money.years=17"),
        ("grant_share", 0.15, "money.grant_share=0.15"),
        ("rise_electricity", -0.01, "money.escalation.electricity=-0.01"),
    ] {
        let figures = changed_study(folder.path(), set);
        assert_ne!(figures["options"], before["options"], "{set} changes nothing");
        let changed = worked(&with(&bytes, name, value));
        assert_money(&Options::of(&mut opened(&changed)), &figures, set);
    }
}
