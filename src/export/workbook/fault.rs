//! Why a workbook cannot be made.

use rust_xlsxwriter::XlsxError;

/// A workbook that cannot be made: a fault of the program.
#[derive(Debug, thiserror::Error)]
#[error("report.xlsx could not be made ({0}), so nothing was written; please report the study that leads to it")]
pub struct NoWorkbook(#[from] XlsxError);
