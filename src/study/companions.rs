//! Files that a study names: the study asks, someone who may open files answers.

/// Gives the text of files that stand beside a study.
pub trait Companions {
    /// Text of the file at this path, relative to the study; the error completes "cannot be read: ...".
    fn text(&self, path: &str) -> Result<String, String>;
}

/// For studies that stand alone.
#[derive(Clone, Copy, Debug)]
pub struct NoCompanions;

impl Companions for NoCompanions {
    fn text(&self, _path: &str) -> Result<String, String> {
        Err("no files are at hand".to_owned())
    }
}
