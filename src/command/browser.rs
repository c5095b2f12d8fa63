//! Printing a page through a browser that is installed here: one of the Chromium family, without a window.

use super::Failure;
use super::beside::say_beside;
use crate::problem::Problem;
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// The variable that names the program where it is not found by itself.
const NAMED_BY: &str = "DRYLEDGER_BROWSER";

/// Names under which such browsers are installed.
const NAMES: [&str; 7] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
    "microsoft-edge",
    "microsoft-edge-stable",
];

/// Longest that printing a report may take.
const PATIENCE: Duration = Duration::from_secs(180);

/// A browser that can print.
pub(super) struct Browser {
    program: OsString,
}

impl Browser {
    /// The one that is named, or the first that is found on the path.
    pub(super) fn find() -> Result<Self, Failure> {
        if let Some(program) = std::env::var_os(NAMED_BY).filter(|named| !named.is_empty()) {
            return Ok(Self { program });
        }
        let folders = std::env::var_os("PATH").unwrap_or_default();
        let is_there = |name: &&str| {
            std::env::split_paths(&folders)
                .any(|folder| folder.join(name).is_file() || folder.join(format!("{name}.exe")).is_file())
        };
        match NAMES.into_iter().find(is_there) {
            Some(name) => Ok(Self { program: name.into() }),
            None => Err(Problem::said("--pdf needs a browser of the Chromium family, and none is on the path")
                .expected(format!("one of {}", NAMES.join(", ")))
                .cure(format!(
                    "install one (Debian, Ubuntu: apt install chromium), or name the program in {NAMED_BY}; or open \
                     report.html in any browser and print it"
                ))
                .into()),
        }
    }

    /// The page as a PDF: tagged, with bookmarks of its headings; page numbers are the page's own.
    pub(super) fn print(&self, html: &str) -> Result<Vec<u8>, Failure> {
        let desk = Desk::new()?;
        let (page, pdf) = (desk.0.join("report.html"), desk.0.join("report.pdf"));
        std::fs::write(&page, html).map_err(|error| Failure::file(&page, &error))?;
        let mut command = Command::new(&self.program);
        command
            .args(["--headless", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-extensions"])
            .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
            .args(["--no-pdf-header-footer", "--generate-pdf-document-outline"])
            .arg(option("--user-data-dir=", &desk.0.join("profile")))
            .arg(option("--print-to-pdf=", &pdf))
            .arg(option("file://", &page))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        // Its sandbox refuses to work for root, as in containers; the page is our own and loads nothing.
        if is_root(&page) {
            command.arg("--no-sandbox");
        }
        let shown = PathBuf::from(&self.program);
        let mut child = command.spawn().map_err(|error| Failure::file(&shown, &error))?;
        let is_done = wait(&mut child).map_err(|error| Failure::file(&shown, &error))?;
        match std::fs::read(&pdf) {
            Ok(bytes) if is_done && bytes.starts_with(b"%PDF") => Ok(bytes),
            _ => Err(Failure::File {
                path: shown,
                cause: format!(
                    "did not print the report; name another browser in {NAMED_BY}, or print report.html from any"
                ),
            }),
        }
    }
}

/// An option whose value is a path.
fn option(name: &str, path: &Path) -> OsString {
    let mut option = OsString::from(name);
    option.push(path);
    option
}

/// True if it ended well within the time it is given; it is ended otherwise.
fn wait(child: &mut Child) -> std::io::Result<bool> {
    let begun = Instant::now();
    loop {
        if let Some(status) = child.try_wait()? {
            return Ok(status.success());
        }
        if begun.elapsed() > PATIENCE {
            child.kill()?;
            child.wait()?;
            return Ok(false);
        }
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// True if files that this program writes belong to root.
#[cfg(unix)]
fn is_root(own: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    std::fs::metadata(own).is_ok_and(|kind| kind.uid() == 0)
}

#[cfg(not(unix))]
fn is_root(_own: &Path) -> bool {
    false
}

/// A folder of this run alone, which goes with it.
struct Desk(PathBuf);

impl Desk {
    fn new() -> Result<Self, Failure> {
        let path = std::env::temp_dir().join(format!("dryledger-print-{}", std::process::id()));
        std::fs::create_dir(&path).map_err(|error| Failure::file(&path, &error))?;
        Ok(Self(path))
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        if let Err(error) = std::fs::remove_dir_all(&self.0) {
            say_beside(&format!("{}: {error}; nothing needs it any more", self.0.display()));
        }
    }
}
