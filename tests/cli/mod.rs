//! The binary, driven as people drive it.

mod heat;
mod weather;
