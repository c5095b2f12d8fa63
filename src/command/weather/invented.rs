//! `--normals`: an hourly year invented around twelve monthly normals.

use super::args::Args;
use super::text::{told, written};
use crate::command::Failure;
use crate::command::answer::answer;
use crate::command::output::{Together, prepare, read_file};
use crate::page::{Subject, weather_page};
use crate::problem::Problem;
use crate::table::text_of;
use crate::weather::invent::{self, Normals};
use crate::weather::{MendRules, mend, read_bytes, summarise};
use std::path::Path;

pub(super) fn run(args: &Args, table: &Path) -> Result<(), Failure> {
    prepare(&args.targets(), &[table.to_owned()], args.force.over())?;
    let shown = table.display().to_string();
    let text = text_of(&read_file(table)?)
        .map_err(|what| Problem::said(format!("not a table of normals but {what}")).placed(&shown, None))?;
    let refused = |error| Failure::Normals { file: shown.clone(), error };
    let normals = invent::parse(&text).map_err(refused)?;
    let hours = if args.varying {
        invent::hourly_varying(&normals, args.year, args.seed)
    } else {
        invent::hourly(&normals, args.year, args.seed)
    }
    .map_err(refused)?;
    let name = table.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let csv = invent::write_csv(&normals, &hours, &name, args.seed);

    let mut files = Together::default();
    if let Some(path) = &args.write {
        files.add(path, csv.as_bytes())?;
    }
    if let Some(path) = &args.html {
        let page = weather_page(&subject(&normals, args, &name), &hours);
        files.add(path, page.as_bytes())?;
    }
    files.finish()?;

    // What is said of the year is said of the file, read back as any other.
    let shown =
        args.write.as_ref().map_or_else(|| format!("an invented year of {name}"), |path| path.display().to_string());
    let readings = [read_bytes(&shown, csv.as_bytes())?];
    let summaries = [summarise(&readings[0], None)];
    let series = mend(&readings, &MendRules::default())?;
    if args.json {
        let mut json = super::figures::to_json(&readings, &summaries, Some(&series));
        if let Some(object) = json.as_object_mut() {
            object.insert("seed".into(), args.seed.into());
        }
        return answer(&format!("{json}\n"));
    }
    let mut out = told(&readings, &summaries, Some(&series));
    out.push_str("These hours are invented around the normals; they were never measured.\n");
    if args.write.is_none() {
        out.push_str("Nothing was written: give --write CSV to keep the year for a study.\n");
    }
    out.push_str(&written(args));
    answer(&out)
}

fn subject(normals: &Normals, args: &Args, table: &str) -> Subject {
    let place = normals.place;
    Subject {
        title: normals.site.clone().unwrap_or_else(|| "A year invented around monthly normals".to_owned()),
        remarks: vec![
            format!("Invented hours around the monthly normals of {table}, seed {}.", args.seed),
            "They were never measured: figures made with them show a plausible year, not the site's own.".to_owned(),
        ],
        facts: vec![
            ("Latitude".to_owned(), format!("{}°", place.latitude)),
            ("Longitude".to_owned(), format!("{}°", place.longitude)),
            ("Elevation".to_owned(), format!("{} m", normals.altitude_m)),
        ],
        typical_year: false,
    }
}
