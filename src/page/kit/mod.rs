//! What all pages share: the frame of a page, text made safe, axes, cells of tables, names of months.

pub(super) mod axis;
pub(super) mod cell;
pub(super) mod document;
pub(super) mod months;
