//! The text of a DXF file taken apart: pairs of a group code and a value, in records that each begin
//! with code 0, in sections.

use crate::drawing::error::DrawingError;

/// A group code and its value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair<'a> {
    pub(super) code: i32,
    pub(super) value: &'a str,
    /// Line of the value, from 1.
    pub(super) line: usize,
}

/// What follows a code 0, up to the next.
#[derive(Debug, Clone)]
pub(super) struct Record<'a> {
    pub(super) kind: &'a str,
    pub(super) line: usize,
    pub(super) pairs: Vec<Pair<'a>>,
}

impl<'a> Record<'a> {
    /// The value of the first pair with this code.
    pub(super) fn value(&self, code: i32) -> Option<&'a str> {
        self.pairs.iter().find(|pair| pair.code == code).map(|pair| pair.value)
    }

    /// The same as a number, if it is one.
    pub(super) fn number(&self, code: i32) -> Option<f64> {
        self.value(code)?.parse().ok().filter(|number: &f64| number.is_finite())
    }

    /// Whether a bit is set in the flags under code 70.
    pub(super) fn flag(&self, bit: i64) -> bool {
        self.value(70).and_then(|flags| flags.parse::<i64>().ok()).unwrap_or(0) & bit != 0
    }
}

/// A section, with its own pairs and the records in it.
#[derive(Debug)]
pub(super) struct Section<'a> {
    pub(super) own: Record<'a>,
    pub(super) records: Vec<Record<'a>>,
}

impl<'a> Section<'a> {
    pub(super) fn name(&self) -> &'a str {
        self.own.value(2).unwrap_or_default()
    }
}

/// The sections of a file.
pub(super) fn sections(text: &str) -> Result<Vec<Section<'_>>, DrawingError> {
    let (records, lines) = records(text)?;
    let mut sections = Vec::new();
    let mut open: Option<Section> = None;
    for record in records {
        match (record.kind, &mut open) {
            ("ENDSEC", section) => match section.take() {
                Some(section) => sections.push(section),
                None => return Err(expected("SECTION, or EOF at the end", &record)),
            },
            ("EOF", None) => return Ok(sections),
            ("SECTION", None) if record.value(2).is_some() => {
                open = Some(Section { own: record, records: Vec::new() });
            }
            ("SECTION", None) => return Err(expected("the name of the section", &record)),
            ("SECTION" | "EOF", Some(_)) => return Err(expected("ENDSEC", &record)),
            (_, Some(section)) => section.records.push(record),
            (_, None) => return Err(expected("SECTION, or EOF at the end", &record)),
        }
    }
    match open {
        Some(_) => Err(DrawingError::CutOff(lines)),
        None => Ok(sections),
    }
}

fn expected(expected: &'static str, record: &Record) -> DrawingError {
    DrawingError::Dxf { line: record.line, expected, found: quoted(record.kind) }
}

/// All records, and the number of lines.
fn records(text: &str) -> Result<(Vec<Record<'_>>, usize), DrawingError> {
    let mut records: Vec<Record> = Vec::new();
    let mut lines = text.lines().enumerate().map(|(i, line)| (i + 1, line.trim()));
    let mut last = 1;
    while let Some((line, code)) = lines.next() {
        last = line;
        if code.is_empty() && records.last().is_some_and(|record| record.kind == "EOF") {
            break;
        }
        let code: i32 = code.parse().map_err(|_| DrawingError::Dxf {
            line,
            expected: "a group code, a whole number",
            found: quoted(code),
        })?;
        let (line, value) = lines.next().ok_or(DrawingError::CutOff(line))?;
        last = line;
        match (code, records.last_mut()) {
            // A comment.
            (999, _) => {}
            (0, _) => records.push(Record { kind: value, line, pairs: Vec::new() }),
            (_, Some(record)) => record.pairs.push(Pair { code, value, line }),
            (_, None) => {
                let expected = "group code 0 first";
                return Err(DrawingError::Dxf {
                    line: line - 1,
                    expected,
                    found: code.to_string(),
                });
            }
        }
    }
    Ok((records, last))
}

/// What was found, in quotes and not too long.
pub(super) fn quoted(found: &str) -> String {
    let short: String = found.chars().take(40).collect();
    format!("{short:?}")
}
