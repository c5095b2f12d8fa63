//! How long the program itself takes, from its start to its last file: what a reader waits for.
//!
//! Run with `cargo bench --bench whole`; what takes minutes is run with `-- --include-ignored`.
#![allow(missing_docs)]

#[allow(dead_code)]
#[path = "../tests/case.rs"]
mod case;

use case::{DemoStudy, data, dryledger, root};
use divan::Bencher;
use std::path::{Path, PathBuf};

fn main() {
    divan::main();
}

/// The bundled demo as it is, with so many draws at most; none without its standing list of measures.
#[divan::bench(args = [0, 64], sample_count = 3, sample_size = 1)]
fn demo_with_draws(bencher: Bencher, samples: u32) {
    let study = root().join("reports/demo/study.toml");
    let samples = samples.to_string();
    let mut more = vec!["--samples", &samples];
    if samples == "0" {
        more.push("--no-screening");
    }
    report(bencher, &study, &more);
}

/// Six options in thirty invented years.
#[divan::bench(sample_count = 3, sample_size = 1)]
fn thirty_years_of_six_options(bencher: Bencher) {
    let folder = tempfile::tempdir().expect("a folder");
    let study = six_options(folder.path(), 30);
    report(bencher, &study, &["--samples", "0", "--no-screening"]);
}

/// Six options in two years, at 256 draws.
#[divan::bench(ignore, sample_count = 1, sample_size = 1)]
fn draws_256_of_two_years_of_six_options(bencher: Bencher) {
    let folder = tempfile::tempdir().expect("a folder");
    let study = six_options(folder.path(), 2);
    report(bencher, &study, &["--samples", "256", "--no-screening"]);
}

/// Six options in thirty years, at as many draws as a study may ask for.
#[divan::bench(ignore, sample_count = 1, sample_size = 1)]
fn most_draws_of_thirty_years_of_six_options(bencher: Bencher) {
    let folder = tempfile::tempdir().expect("a folder");
    let study = six_options(folder.path(), 30);
    report(bencher, &study, &["--samples", "1000", "--no-screening"]);
}

/// From a typical year's file to the heat of its air.
#[divan::bench(sample_count = 50, sample_size = 1)]
fn epw_to_heat(bencher: Bencher) {
    let file = data("weather/fresno_tmy3.epw");
    let file = file.to_str().expect("UTF-8");
    bencher.bench_local(|| {
        let ran = dryledger(&["heat", file, "--to", "50"]).unaltered().run();
        assert_eq!(ran.code, 0, "{}", ran.stderr);
    });
}

fn report(bencher: Bencher, study: &Path, more: &[&str]) {
    let out = tempfile::tempdir().expect("a folder");
    let (study, folder) = (study.to_str().expect("UTF-8"), out.path().to_str().expect("UTF-8"));
    let arguments = [&["report", study, "--out", folder], more].concat();
    bencher.bench_local(|| {
        let ran = dryledger(&arguments).unaltered().run();
        assert_eq!(ran.code, 0, "{}", ran.stderr);
    });
}

/// The demo's plant and the first six of its options alone, in so many years that are drawn from its normals.
fn six_options(folder: &Path, years: u32) -> PathBuf {
    let normals = root().join("weather/upland_normals.csv");
    for year in 2001..2001 + years {
        let (year, file) = (year.to_string(), folder.join(format!("drawn_{year}.csv")));
        let (normals, file) = (normals.to_str().expect("UTF-8"), file.to_str().expect("UTF-8"));
        let arguments =
            ["weather", "--normals", normals, "--varying", "--seed", &year, "--year", &year, "--write", file];
        let ran = dryledger(&arguments).unaltered().run();
        assert_eq!(ran.code, 0, "{}", ran.stderr);
    }
    let upland = root().join("weather/upland_2032.csv");
    let upland = upland.to_str().expect("UTF-8");
    DemoStudy::of("demo")
        .change(upland, "drawn_*.csv")
        .part("[[option]]\nname = \"electric, condensers switched\"", "[money]", "")
        .up_to("[[phase]]")
        .write(folder)
}
