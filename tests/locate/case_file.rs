//! Case files are read case by case, however large they are.

use nudgeproof::locate::{CaseFileError, read_cases};
use std::io::{self, Read};

const HEAD: &str = r#"{"sigma_mm":0.1,"cases":["#;
const CASE: &str = r#"{"freedoms":"slide_one","touches":[{"face":"a","direction":[0,0,-1],"reference":[0,0,10],"current":[0,0,7.5]}]}"#;

/// Cases made up while they are being read.
struct Endless {
    left: usize,
    ready: io::Cursor<Vec<u8>>,
}

impl Read for Endless {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let n = self.ready.read(buffer)?;
        if n > 0 || self.left == 0 {
            return Ok(n);
        }
        self.left -= 1;
        let end = if self.left == 0 { "]}" } else { "," };
        self.ready = io::Cursor::new(format!("{CASE}{end}").into_bytes());
        self.ready.read(buffer)
    }
}

#[test]
fn a_large_file_is_read_case_by_case() {
    let file = Endless { left: 20_000, ready: io::Cursor::new(HEAD.as_bytes().to_vec()) };
    let mut seen = 0;
    let heap = allocation_counter::measure(|| {
        let read = read_cases(file, &mut |case, sigma| {
            seen += usize::from(case.touches.len() == 1 && sigma == 0.1);
            Ok(())
        });
        assert_eq!(read.expect("a whole file"), 20_000);
    });
    assert_eq!(seen, 20_000);
    // 2 MB of text; far less than that at any time.
    assert!(heap.bytes_max < 64 << 10, "{} bytes at once", heap.bytes_max);
}

#[test]
fn reading_stops_when_the_receiver_fails() {
    let text = format!("{HEAD}{CASE}]}}");
    let result = read_cases(text.as_bytes(), &mut |_, _| Err(io::Error::other("full")));
    assert!(matches!(result, Err(CaseFileError::Io(e)) if e.to_string() == "full"));
}
