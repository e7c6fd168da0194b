//! The page in the browser.

fn main() {}
