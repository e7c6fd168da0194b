/// Writes rows as comma-separated values (RFC 4180). Every row has as many cells as the first.
pub fn to_csv<R>(rows: impl IntoIterator<Item = R>) -> String
where
    R: IntoIterator<Item = String>,
{
    let mut out =
        csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        out.write_record(row).expect("it is written to memory, and is as long as the first");
    }
    let bytes = out.into_inner().expect("it is written to memory");
    String::from_utf8_lossy(&bytes).into_owned()
}
