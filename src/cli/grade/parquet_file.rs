//! The table as Apache Parquet, without compression: a district's own tools read it with its types.

use nudgeproof::lesson::{ClassCell, LearnerRow, class_heads};
use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;
use std::io::{self, Write};
use std::sync::Arc;

/// Writes a column for each of the table: words, whole numbers, lengths in mm.
pub(super) fn write_parquet(rows: &[LearnerRow], to: impl Write + Send) -> io::Result<()> {
    write(rows, to).map_err(io::Error::other)
}

fn write(rows: &[LearnerRow], to: impl Write + Send) -> Result<(), ParquetError> {
    let cells: Vec<_> = rows.iter().map(LearnerRow::cells).collect();
    let heads = class_heads();
    let kinds = cells.first().into_iter().flatten();
    let fields = heads.iter().zip(kinds).map(|(head, kind)| field(head, kind).map(Arc::new));
    let fields = fields.collect::<Result<Vec<_>, _>>()?;
    let schema = Type::group_type_builder("learners").with_fields(fields).build()?;
    let mut file = SerializedFileWriter::new(to, Arc::new(schema), Arc::default())?;
    let mut group = file.next_row_group()?;
    for column in 0..heads.len() {
        let Some(mut writer) = group.next_column()? else { break };
        put(writer.untyped(), cells.iter().map(|row| &row[column]))?;
        writer.close()?;
    }
    group.close()?;
    file.close()?;
    Ok(())
}

fn field(head: &str, kind: &ClassCell) -> Result<Type, ParquetError> {
    let (physical, logical, repetition) = match kind {
        ClassCell::Text(_) => {
            (Physical::BYTE_ARRAY, Some(LogicalType::String), Repetition::REQUIRED)
        }
        ClassCell::Count(_) => (Physical::INT64, None, Repetition::REQUIRED),
        ClassCell::Length(_) => (Physical::DOUBLE, None, Repetition::OPTIONAL),
    };
    let field = Type::primitive_type_builder(head, physical).with_repetition(repetition);
    field.with_logical_type(logical).build()
}

/// The cells of one column, all of one kind.
fn put<'c>(
    writer: &mut ColumnWriter,
    cells: impl Iterator<Item = &'c ClassCell>,
) -> Result<(), ParquetError> {
    match writer {
        ColumnWriter::ByteArrayColumnWriter(writer) => {
            let text = |cell: &ClassCell| match cell {
                ClassCell::Text(text) => Some(ByteArray::from(text.as_str())),
                _ => None,
            };
            writer.write_batch(&cells.filter_map(text).collect::<Vec<_>>(), None, None)?;
        }
        ColumnWriter::Int64ColumnWriter(writer) => {
            let count = |cell: &ClassCell| match cell {
                ClassCell::Count(count) => i64::try_from(*count).ok(),
                _ => None,
            };
            writer.write_batch(&cells.filter_map(count).collect::<Vec<_>>(), None, None)?;
        }
        ColumnWriter::DoubleColumnWriter(writer) => {
            let length = |cell: &ClassCell| match cell {
                ClassCell::Length(mm) => *mm,
                _ => None,
            };
            let all: Vec<_> = cells.map(length).collect();
            let there: Vec<i16> = all.iter().map(|mm| mm.is_some().into()).collect();
            let lengths: Vec<f64> = all.into_iter().flatten().collect();
            writer.write_batch(&lengths, Some(&there), None)?;
        }
        _ => return Err(ParquetError::General("a column of another kind".into())),
    }
    Ok(())
}
