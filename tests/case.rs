//! A small builder for tests that drive the binary.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// One run of the binary.
pub(crate) struct Case {
    command: Command,
    /// True where nothing is added to the arguments.
    is_unaltered: bool,
}

/// What a run left behind.
pub(crate) struct Ran {
    pub code: i32,
    pub stdout: String,
    pub stderr: String,
    /// What was run.
    line: String,
    /// Where it was run.
    folder: PathBuf,
}

/// `dryledger` with these arguments.
pub(crate) fn dryledger(arguments: &[&str]) -> Case {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dryledger"));
    command.args(arguments).env("SOURCE_DATE_EPOCH", "1750000000");
    Case { command, is_unaltered: false }
}

impl Case {
    /// One more argument.
    #[allow(dead_code)]
    pub(crate) fn and(mut self, argument: &str) -> Self {
        self.command.arg(argument);
        self
    }

    /// Run with these arguments alone, as a user would.
    #[allow(dead_code)]
    pub(crate) fn unaltered(mut self) -> Self {
        self.is_unaltered = true;
        self
    }

    /// Runs it in this folder.
    #[allow(dead_code)]
    pub(crate) fn in_folder(mut self, folder: &Path) -> Self {
        self.command.current_dir(folder);
        self
    }

    /// Runs it with this variable of the environment.
    #[allow(dead_code)]
    pub(crate) fn with(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    /// Runs it and takes what came out. A report of a study that says nothing of doubt is run without it, and none tries
    /// the standing list of measures: most tests look at one season. Those that want the standing doubt give `--samples`
    /// or a table of it; those that want the list run unaltered.
    pub(crate) fn run(mut self) -> Ran {
        if !self.is_unaltered && self.leaves_doubt_open() {
            self.command.args(["--samples", "0"]);
        }
        if !self.is_unaltered && self.is_report() {
            self.command.arg("--no-screening");
        }
        let Output { status, stdout, stderr } = self.command.output().expect("the binary runs");
        let arguments: Vec<_> = self.command.get_args().map(std::ffi::OsStr::to_string_lossy).collect();
        Ran {
            line: format!("dryledger {}", arguments.join(" ")),
            folder: self.command.get_current_dir().unwrap_or(Path::new(".")).to_owned(),
            code: status.code().expect("an exit code, not a signal"),
            stdout: String::from_utf8(stdout).expect("UTF-8 on stdout"),
            stderr: String::from_utf8(stderr).expect("UTF-8 on stderr"),
        }
    }
}

impl Case {
    /// True of a report that is not asked for its help.
    fn is_report(&self) -> bool {
        let mut arguments = self.command.get_args().filter_map(|argument| argument.to_str());
        arguments.next() == Some("report")
            && !arguments.any(|argument| ["--help", "-h", "--no-screening"].contains(&argument))
    }

    /// True of a report of a study without a table of uncertainty, and without `--samples`.
    fn leaves_doubt_open(&self) -> bool {
        let mut arguments = self.command.get_args().filter_map(|argument| argument.to_str());
        let is_report = arguments.next() == Some("report");
        let (mut study, mut says) = (None, false);
        for argument in arguments {
            says |= argument == "--samples" || argument == "--help";
            study = study.or(Path::new(argument).extension().is_some_and(|of| of == "toml").then_some(argument));
        }
        let folder = self.command.get_current_dir().unwrap_or(Path::new("."));
        let text = study.and_then(|study| std::fs::read_to_string(folder.join(study)).ok());
        let has_table = |text: &str| text.lines().any(|line| line.trim_start().starts_with("[uncertainty]"));
        is_report && !says && text.is_some_and(|text| !has_table(&text))
    }
}

impl Ran {
    /// It must have ended with 0.
    #[track_caller]
    pub(crate) fn ends_well(&self) {
        assert_eq!(self.code, 0, "{}", self.told());
    }

    /// Stdout as JSON of a run that must have ended well.
    #[track_caller]
    pub(crate) fn json(&self) -> serde_json::Value {
        self.ends_well();
        serde_json::from_str(&self.stdout).unwrap_or_else(|error| panic!("no JSON alone: {error}\n{}", self.told()))
    }

    /// All there is to know of it where a test fails: what was run, what stood there, and what came out.
    #[allow(dead_code)]
    pub(crate) fn told(&self) -> String {
        let files = std::fs::read_dir(&self.folder).into_iter().flatten().flatten();
        let mut files: Vec<String> = files.map(|file| file.file_name().to_string_lossy().into_owned()).collect();
        files.sort();
        format!(
            "{}\nin {}: {}\nended with {}\n--- stdout\n{}\n--- stderr\n{}",
            self.line,
            self.folder.display(),
            files.join(", "),
            self.code,
            self.stdout,
            self.stderr
        )
    }

    /// A refused input: exit 2, nothing on stdout, every one of these words on stderr.
    #[allow(dead_code)]
    #[track_caller]
    pub(crate) fn refused(&self, words: &[&str]) {
        assert_eq!(self.code, 2, "{}", self.told());
        assert!(self.stdout.is_empty(), "{}", self.told());
        for word in words {
            assert!(self.stderr.contains(word), "no '{word}': {}", self.told());
        }
    }
}

/// A bundled study of the upland as a test wants it: with one weather year, and changed from there.
pub(crate) struct DemoStudy {
    text: String,
}

#[allow(dead_code)]
impl DemoStudy {
    /// The demo with one weather year and, of its options, the electric one alone.
    pub(crate) fn new() -> Self {
        Self::of("demo").part("[[option]]\nname = \"lpg\"", "[money]", "")
    }

    /// A study of `reports/` with one weather year and all its options, scenarios and growth.
    pub(crate) fn of(name: &str) -> Self {
        let weather = root().join("weather/upland_2032.csv");
        let text = std::fs::read_to_string(root().join("reports").join(name).join("study.toml"));
        Self { text: text.expect("a bundled study") }
            .change("../../weather/upland_20*.csv", weather.to_str().expect("UTF-8"))
    }

    /// Without its cool store, for whose condensers a report tries every place, and without growth: quicker.
    pub(crate) fn dryer_alone(self) -> Self {
        self.part("[cool_store]", "[carrier.electricity]", "").up_to("\n[[phase]]")
    }

    /// The middle eleven weeks of its season, with as much nuts a day: quicker.
    pub(crate) fn middle(self) -> Self {
        self.change("starts = \"03-01\"", "starts = \"04-24\"")
            .change("ends = \"08-31\"", "ends = \"07-10\"")
            .change("season_tonnes = 640.0", "season_tonnes = 272.0")
    }

    /// The five weeks of most nuts, with as much nuts a day: quicker still.
    pub(crate) fn peak(self) -> Self {
        self.change("starts = \"03-01\"", "starts = \"05-15\"")
            .change("ends = \"08-31\"", "ends = \"06-18\"")
            .change("season_tonnes = 640.0", "season_tonnes = 124.0")
    }

    /// The first `old`, which must be there, becomes `new`.
    pub(crate) fn change(self, old: &str, new: &str) -> Self {
        assert!(self.text.contains(old), "the study no longer says {old}");
        Self { text: self.text.replacen(old, new, 1) }
    }

    /// Several such changes.
    pub(crate) fn changes(self, changes: &[(&str, &str)]) -> Self {
        changes.iter().fold(self, |study, (old, new)| study.change(old, new))
    }

    /// What stands from one mark up to the next becomes `new`.
    pub(crate) fn part(mut self, from: &str, until: &str, new: &str) -> Self {
        let start = self.text.find(from).expect("its start");
        let end = self.text[start..].find(until).expect("its end") + start;
        self.text.replace_range(start..end, new);
        self
    }

    /// It ends before this mark.
    pub(crate) fn up_to(mut self, mark: &str) -> Self {
        self.text.truncate(self.text.find(mark).expect("the mark"));
        self
    }

    /// Writes it with its tariff into a folder.
    pub(crate) fn write(self, folder: &Path) -> PathBuf {
        let tariff = root().join("reports/demo/tariff.toml");
        std::fs::copy(tariff, folder.join("tariff.toml")).expect("the tariff");
        let study = folder.join("study.toml");
        std::fs::write(&study, self.text).expect("the study");
        study
    }
}

/// The number at a pointer (`/season/dried_t`) of figures.
#[allow(dead_code)]
pub(crate) fn number_at(value: &serde_json::Value, pointer: &str) -> f64 {
    let number = value.pointer(pointer).and_then(serde_json::Value::as_f64);
    number.unwrap_or_else(|| panic!("no number at {pointer}"))
}

/// Folder of the project.
pub(crate) fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Path of a file under `tests/data`.
#[allow(dead_code)]
pub(crate) fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name)
}
