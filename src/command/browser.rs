//! Printing a page through a browser that is installed here: one of the Chromium family, without a window.

use super::Failure;
use super::guest::{self, Ending};
use crate::problem::Problem;
use std::ffi::{OsStr, OsString};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

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
#[derive(Debug)]
pub(super) struct Browser {
    program: PathBuf,
    patience: Duration,
}

impl Browser {
    /// The one that is named, or the first that is found on the path. That it is there is seen here, so that nobody waits
    /// for a season to hear that it is not.
    pub(super) fn find() -> Result<Self, Failure> {
        let at = |program| Self { program, patience: PATIENCE };
        if let Some(named) = std::env::var_os(NAMED_BY).filter(|named| !named.is_empty()) {
            return found(&named).map(at).ok_or_else(|| Failure::File {
                path: PathBuf::from(named),
                cause: format!("there is no such program; {NAMED_BY} names it"),
            });
        }
        match NAMES.into_iter().find_map(|name| found(OsStr::new(name))) {
            Some(program) => Ok(at(program)),
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
        let desk = guest::desk().map_err(|error| Failure::file(std::env::temp_dir(), &error))?;
        let (page, pdf) = (desk.path().join("report.html"), desk.path().join("report.pdf"));
        std::fs::write(&page, html).map_err(|error| Failure::file(&page, &error))?;
        let mut command = Command::new(&self.program);
        command
            .args(["--headless", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-extensions"])
            .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
            .args(["--no-pdf-header-footer", "--generate-pdf-document-outline"])
            .arg(option("--user-data-dir=", &desk.path().join("profile")))
            .arg(option("--print-to-pdf=", &pdf))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null());
        // Its sandbox refuses to work for root, as in containers; the page is our own and loads nothing.
        if is_root(&page) {
            command.arg("--no-sandbox");
        }
        command.arg(address_of(&page));
        let printed = guest::work(command, desk, self.patience, |_, ending| match ending {
            Ending::OutOfTime => Err(format!("did not print the report within {} s", self.patience.as_secs())),
            Ending::Ended(status) if !status.success() => Err(format!("did not print the report ({status})")),
            Ending::Ended(_) => match std::fs::read(&pdf) {
                Ok(bytes) if is_whole(&bytes) => Ok(bytes),
                Ok(_) => Err("printed no whole PDF".to_owned()),
                Err(_) => Err("did not print the report, though it said so".to_owned()),
            },
        });
        let printed = printed.map_err(|error| Failure::file(&self.program, &error))?;
        printed.map_err(|what| Failure::File {
            path: self.program.clone(),
            cause: format!("{what}; name another browser in {NAMED_BY}, or print report.html from any"),
        })
    }
}

/// The file of a program by its name or its path.
fn found(program: &OsStr) -> Option<PathBuf> {
    let own = Path::new(program);
    let is_path = own.components().count() > 1;
    let folders = std::env::var_os("PATH").unwrap_or_default();
    let on_path = std::env::split_paths(&folders).map(|folder| folder.join(own));
    let candidates: Vec<PathBuf> = if is_path { vec![own.to_owned()] } else { on_path.collect() };
    let with_ending = |path: PathBuf| {
        let mut ended = path.clone().into_os_string();
        ended.push(".exe");
        [path, ended.into()]
    };
    candidates.into_iter().flat_map(with_ending).find(|path| is_program(path))
}

/// True of a file that may be run.
#[cfg(unix)]
fn is_program(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    std::fs::metadata(path).is_ok_and(|kind| kind.is_file() && kind.permissions().mode() & 0o111 != 0)
}

#[cfg(not(unix))]
fn is_program(path: &Path) -> bool {
    path.is_file()
}

/// True of a PDF that has its end: ISO 32000-1, 7.5.2 and 7.5.5.
fn is_whole(pdf: &[u8]) -> bool {
    let end = &pdf[pdf.len().saturating_sub(1024)..];
    pdf.starts_with(b"%PDF-") && end.windows(5).any(|bytes| bytes == b"%%EOF")
}

/// A file as an address (RFC 8089): what is more than a letter, a digit or a plain mark is written as its bytes (RFC 3986,
/// 2.1), so that no folder's name is taken for a part of the address.
fn address_of(file: &Path) -> String {
    let mut address = String::from("file://");
    let path = file.as_os_str().as_encoded_bytes();
    if !path.starts_with(b"/") {
        address.push('/');
    }
    for &byte in path {
        match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' | b':' => {
                address.push(char::from(byte));
            }
            b'\\' if cfg!(windows) => address.push('/'),
            _ => {
                let _ = write!(address, "%{byte:02X}");
            }
        }
    }
    address
}

/// An option whose value is a path.
fn option(name: &str, path: &Path) -> OsString {
    let mut option = OsString::from(name);
    option.push(path);
    option
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

#[cfg(test)]
mod tests {
    use super::*;

    /// A browser that does this.
    #[cfg(unix)]
    fn browser(folder: &Path, does: &str, patience: Duration) -> Browser {
        let program = folder.join("browser");
        std::fs::write(&program, format!("#!/bin/sh\n{does}\n")).unwrap();
        let may_run = std::os::unix::fs::PermissionsExt::from_mode(0o755);
        std::fs::set_permissions(&program, may_run).unwrap();
        Browser { program, patience }
    }

    /// One that prints nothing more is ended with all that it began, and its desk is cleared away.
    #[cfg(unix)]
    #[test]
    fn a_browser_that_hangs_is_ended_with_all_that_it_began() {
        let folder = tempfile::tempdir().unwrap();
        let told = folder.path().join("told");
        let does = format!(
            "for a in \"$@\"; do case $a in --user-data-dir=*) d=${{a#*=}};; esac; done\n\
             sleep 600 &\necho \"$! ${{d%/profile}}\" > {}.half; mv {0}.half {0}\nwait",
            told.display()
        );
        let begun = std::time::Instant::now();
        let Err(Failure::File { cause, .. }) =
            browser(folder.path(), &does, Duration::from_secs(2)).print("<!doctype html>")
        else {
            panic!("it printed");
        };
        assert!(cause.contains("within 2 s"), "{cause}");
        assert!(begun.elapsed() < Duration::from_secs(60));
        let told = std::fs::read_to_string(told).unwrap();
        let (child, desk) = told.trim().split_once(' ').unwrap();
        assert!(desk.contains("dryledger-print-") && !Path::new(desk).exists(), "{desk}");
        // The child of the browser is no more, or waits for nothing but to be counted.
        let stat = std::fs::read_to_string(format!("/proc/{child}/stat")).unwrap_or_default();
        let state = stat.rsplit(')').next().and_then(|rest| rest.split_whitespace().next());
        assert!(Path::new("/proc/self").exists() && matches!(state, None | Some("Z" | "X")), "{stat}");
    }

    #[cfg(unix)]
    #[test]
    fn a_path_is_an_address_that_says_nothing_else() {
        assert_eq!(address_of(Path::new("/tmp/a-b_c.d/report.html")), "file:///tmp/a-b_c.d/report.html");
        assert_eq!(address_of(Path::new("/a b/#1?x=%41/\u{e9}")), "file:///a%20b/%231%3Fx%3D%2541/%C3%A9");
    }

    #[test]
    fn a_pdf_has_its_end() {
        assert!(is_whole(b"%PDF-1.4\n...\n%%EOF\n"));
        for half in [&b"%PDF-1.4\n..."[..], b"%%EOF", b""] {
            assert!(!is_whole(half));
        }
    }
}
