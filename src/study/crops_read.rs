//! The crops of a study as they were read.

use super::cursor::Cursor;
use crate::crop::Crop;
use crate::dryer::Nuts;

/// The nuts as the rest of the study needs them.
pub(super) struct CropRead {
    /// Name in the study.
    pub name: String,
    pub crop: Crop,
    pub nuts: Nuts,
    /// What dried nuts sell for, money per tonne at the target, if the study says.
    pub price_per_dried_t: Option<f64>,
    /// Temperature at which shell and kernel are taken to hold one water activity, °C.
    pub kernel_temperature_c: f64,
    /// Days in the cool store, if the crop has its own.
    pub stay_days: Option<f64>,
}

/// The crops of a study and where each is read, in the order of the file; one at least.
pub(super) struct CropsRead<'t> {
    pub cursors: Vec<Cursor<'t>>,
    pub all: Vec<CropRead>,
}
