//! The gradebook as a workbook: marks on one sheet, a moderator's changes on another.

use crate::class::Class;
use marking::Outcome;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};

/// Longest text of a cell, characters: the format's own limit is 32767.
const TEXT_MAX: usize = 30_000;

/// The bytes of `gradebook.xlsx`. Marks are numbers; an item that was not assessed, and every mark of a
/// log that was not graded, is an empty cell, never a zero; texts are texts, whatever they begin with. The
/// date in the file is fixed, so that the same class gives the same bytes.
///
/// # Panics
/// When the people were marked by different mark sheets.
#[must_use]
pub fn workbook(class: &Class) -> Vec<u8> {
    made(class).expect("our own sheets keep to the limits of the format")
}

fn made(class: &Class) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    book.set_properties(&DocProperties::new().set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?));
    let bold = Format::new().set_bold();
    marks(book.add_worksheet(), class, &bold)?;
    changes(book.add_worksheet(), class, &bold)?;
    book.save_to_buffer()
}

fn text(sheet: &mut Worksheet, row: u32, column: u16, text: &str) -> Result<(), XlsxError> {
    let kept: String = text.chars().filter(|c| !c.is_control()).take(TEXT_MAX).collect();
    if !kept.is_empty() {
        sheet.write_string(row, column, &kept)?;
    }
    Ok(())
}

fn head(sheet: &mut Worksheet, bold: &Format, titles: &[&str]) -> Result<(), XlsxError> {
    for (column, title) in titles.iter().enumerate() {
        let kept: String = title.chars().filter(|c| !c.is_control()).take(TEXT_MAX).collect();
        sheet.write_string_with_format(0, column as u16, &kept, bold)?;
    }
    sheet.set_freeze_panes(1, 1)?;
    Ok(())
}

fn marks(sheet: &mut Worksheet, class: &Class, bold: &Format) -> Result<(), XlsxError> {
    sheet.set_name("Marks")?;
    let items = class.statistics().items;
    let mut titles = vec!["id", "name", "log", "outcome", "marks", "out of"];
    titles.extend(items.iter().map(|i| i.name.as_str()));
    titles.push("why not graded");
    head(sheet, bold, &titles)?;
    for (row, person) in class.people.iter().enumerate() {
        let row = row as u32 + 1;
        let word = person.judged.word().to_lowercase();
        for (column, cell) in [person.who.id, person.who.name, person.log, &word].into_iter().enumerate() {
            text(sheet, row, column as u16, cell)?;
        }
        if let Some(result) = person.judged.result() {
            sheet.write_number(row, 4, result.earned.0 as f64 / 100.0)?;
            sheet.write_number(row, 5, result.out_of.0 as f64 / 100.0)?;
            for (at, item) in items.iter().enumerate() {
                let verdict = result.verdicts.iter().find(|v| v.name == item.name);
                if let Some(v) = verdict.filter(|v| v.outcome != Outcome::NotAssessed) {
                    sheet.write_number(row, 6 + at as u16, v.earned.0 as f64 / 100.0)?;
                }
            }
        }
        text(sheet, row, 6 + items.len() as u16, &person.judged.reasons().join("; "))?;
    }
    Ok(())
}

fn changes(sheet: &mut Worksheet, class: &Class, bold: &Format) -> Result<(), XlsxError> {
    sheet.set_name("Overrides")?;
    head(sheet, bold, &["id", "item", "was", "now", "by", "on", "reason", "not applied, since"])?;
    let applied = class.people.iter().flat_map(|p| p.moderation.applied.iter().map(|o| (p.who.id, o, "")));
    let unfit = class.unfit().map(|u| (u.entry.person.as_str(), &u.entry, u.why.as_str()));
    for (row, (id, o, why)) in applied.chain(unfit).enumerate() {
        let (was, now) = (o.was.to_string(), o.now.to_string());
        for (column, cell) in [id, &o.item, &was, &now, &o.by, &o.on, &o.reason, why].into_iter().enumerate() {
            text(sheet, row as u32 + 1, column as u16, cell)?;
        }
    }
    Ok(())
}
