//! The files of a report.

use crate::answer::Answered;
use crate::command::Failure;
use crate::command::beside::say_beside;
use crate::command::browser::Browser;
use crate::command::chart_files::{chart_file, known_charts};
use crate::command::output::{self, Over, Target, Together, list_of};
use crate::export::{self, Wrote};
use crate::page::{report_page, stand_alone};
use crate::study::Study;
use chrono::NaiveDate;
use std::path::{Path, PathBuf};

/// What is written besides the report.
#[derive(Debug, clap::Args)]
pub(super) struct Besides {
    /// Write every hour of every option and weather year too: the site's in hourly.csv, each room's in
    /// hourly_rooms.csv, with all terms of water and heat; hourly_columns.csv says what each column is
    #[arg(long)]
    pub(super) hourly: bool,
    /// Write each chart of the report as a drawing of its own too, an SVG named by its id in the page
    #[arg(long, value_name = "DIR")]
    pub(super) charts: Option<PathBuf>,
    /// Print the report as report.pdf too, tagged and with bookmarks, through an installed browser of the Chromium
    /// family; DRYLEDGER_BROWSER names one that is not found
    #[arg(long)]
    pub(super) pdf: bool,
}

/// What a report may consist of, and how it is known again.
const FILES: [(&str, Option<Wrote>); 9] = [
    ("report.html", Some(Wrote::Page)),
    ("figures.json", Some(Wrote::Figures)),
    (PDF, None),
    ("report.xlsx", None),
    ("monthly.csv", Some(Wrote::Table)),
    ("batches.csv", Some(Wrote::Table)),
    (HOURLY[0], Some(Wrote::Table)),
    (HOURLY[1], Some(Wrote::Table)),
    (HOURLY[2], Some(Wrote::Table)),
];
/// The site's hours, each room's, and what the columns are.
const HOURLY: [&str; 3] = ["hourly.csv", "hourly_rooms.csv", "hourly_columns.csv"];
const PDF: &str = "report.pdf";

/// The files of a report, and where they are written.
pub(super) struct Files<'a> {
    pub(super) out: PathBuf,
    pub(super) besides: &'a Besides,
}

impl Files<'_> {
    /// The folders that are written into.
    fn folders(&self) -> impl Iterator<Item = &Path> {
        std::iter::once(self.out.as_path()).chain(self.besides.charts.as_deref())
    }

    /// All that is ever written there.
    pub(super) fn targets(&self) -> Vec<Target> {
        let of_report = FILES.iter().map(|&(name, mark)| match mark {
            Some(mark) => Target::marked(self.out.join(name), mark),
            None => Target::listed(self.out.join(name)),
        });
        let charts = self.besides.charts.iter().flat_map(|folder| known_charts(folder)).map(Target::listed);
        let lists = self.folders().map(|folder| Target::marked(list_of(folder), Wrote::List));
        of_report.chain(charts).chain(lists).collect()
    }

    /// Before anything is computed: sees that all can be written, over nothing that is read or is another's.
    pub(super) fn prepare(&self, (study, title): (&Path, &str), inputs: &[PathBuf], over: Over) -> Result<(), Failure> {
        for folder in self.folders() {
            output::check_folder(folder)?;
        }
        output::prepare(&self.targets(), inputs, over)?;
        match over {
            Over::Any => Ok(()),
            Over::Own => output::check_whose(&self.out.join("figures.json"), study, title),
        }
    }

    /// Writes them, all or none. A report that could not be printed is written all the same; why it was not is given back.
    pub(super) fn write(
        &self,
        study: &Study,
        (Answered { figures, books }, json): (&Answered, &str),
        (browser, run_date): (Option<&Browser>, NaiveDate),
    ) -> Result<Option<Failure>, Failure> {
        let page = study.reader.listens(|| report_page(figures, run_date))?;
        let printed = browser.map(|browser| browser.print(&page)).transpose();
        let mut together = Together::default();
        let mut add = |name: &str, bytes: &[u8]| together.add(&self.out.join(name), bytes);
        add("report.html", page.as_bytes())?;
        if let Ok(Some(pdf)) = &printed {
            add(PDF, pdf)?;
        }
        add("report.xlsx", &export::workbook(figures, figures.study.dated.unwrap_or(run_date))?)?;
        add("figures.json", json.as_bytes())?;
        add("monthly.csv", export::monthly_csv(figures).as_bytes())?;
        add("batches.csv", export::batches_csv(books, &study.crops).as_bytes())?;
        if self.besides.hourly {
            let purchase = export::Purchase { tariff: &study.carriers.electricity, currency: study.currency.code() };
            let [hourly, rooms, columns] = HOURLY;
            add(hourly, export::hourly_csv(books, purchase).as_bytes())?;
            add(rooms, export::hourly_rooms_csv(books).as_bytes())?;
            add(columns, export::hourly_columns_csv(books, purchase).as_bytes())?;
        }
        if let Some(folder) = &self.besides.charts {
            let charts = stand_alone(&page);
            let written: Vec<PathBuf> = charts.iter().map(|chart| chart_file(folder, &chart.id)).collect();
            for (path, chart) in written.iter().zip(&charts) {
                together.add(path, chart.svg.as_bytes())?;
            }
            // Drawings of options that are no more would be taken for this report's.
            for path in known_charts(folder).into_iter().filter(|path| !written.contains(path)) {
                together.retire(path);
            }
        }
        // What an earlier run wrote and this one does not would be taken for this report's.
        for (name, is_written) in
            [(PDF, matches!(printed, Ok(Some(_))))].into_iter().chain(HOURLY.map(|name| (name, self.besides.hourly)))
        {
            let path = self.out.join(name);
            if !is_written && output::is_as_written(&path) {
                say_beside(&format!("{name} of an earlier run is taken away, for it is not of this report"));
                together.retire(path);
            }
        }
        for folder in self.folders() {
            together.list(folder);
        }
        together.finish()?;
        Ok(printed.err())
    }
}
