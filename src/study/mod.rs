//! From TOML to a checked study: everything wrong is said at once, with file, line, column and cure;
//! every value used is recorded with who says so.

pub mod cursor;
pub mod document;
pub mod field;
pub mod input;
pub mod problem;
pub mod tariff;
