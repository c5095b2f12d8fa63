//! Tests that drive the binary, one file per command.

mod crops;
