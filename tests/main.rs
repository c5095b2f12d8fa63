//! Tests of the whole tool, grouped so that a stranger can audit them: `outside` holds checks
//! against published sources and independent libraries, `cli` drives the binary, `house` keeps the
//! rooms apart.
#![allow(missing_docs)]

mod balance;
mod browser;
mod browser_audit;
mod browser_pdf;
mod bundled;
mod case;
mod cli;
mod house;
mod office;
mod outside;
mod page_walker;
mod plants;
