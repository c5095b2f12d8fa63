//! A sheet as it is filled: cells that tell where they stand, heads with units, and one set of styles.

use super::fault::NoWorkbook;
use super::live::{Live, Span};
use crate::printable::printable;
use rust_xlsxwriter::{Color, Format, FormatAlign, FormatBorder, Formula, Worksheet};

/// How a cell looks, and so what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    Title,
    Note,
    /// The head of a group of rows.
    Group,
    /// The head of a column below others.
    Head,
    Text,
    /// Money, to the currency's minor unit.
    Money,
    /// A whole number, or energy in kWh.
    Whole,
    /// A number with one decimal.
    Tenths,
    /// A number as it was written.
    Plain,
    /// A number that needs its digits: prices, factors.
    Fine,
    /// A fraction shown as percent.
    Percent,
}

/// Styles of one workbook.
pub(super) struct Styles {
    money: String,
}

/// The fill of cells that may be changed.
const INPUT_FILL: Color = Color::RGB(0x00FF_F4CC);

impl Styles {
    /// For a currency with so many decimals.
    pub(super) fn of(decimals: u8) -> Self {
        let point = if decimals > 0 { format!(".{}", "0".repeat(usize::from(decimals))) } else { String::new() };
        Self { money: format!("#,##0{point}") }
    }

    fn format(&self, look: Look) -> Format {
        let plain = Format::new();
        match look {
            Look::Title => plain.set_bold().set_font_size(14),
            Look::Note => plain.set_font_color(Color::RGB(0x0059_5959)),
            Look::Group => plain.set_bold(),
            Look::Head => plain.set_bold().set_text_wrap().set_align(FormatAlign::Bottom),
            Look::Text | Look::Plain => plain,
            Look::Money => plain.set_num_format(&self.money),
            Look::Whole => plain.set_num_format("#,##0"),
            Look::Tenths => plain.set_num_format("#,##0.0"),
            Look::Fine => plain.set_num_format("#,##0.0000"),
            Look::Percent => plain.set_num_format("0.0%"),
        }
    }

    fn input(&self, look: Look) -> Format {
        let border = FormatBorder::Thin;
        self.format(look).set_background_color(INPUT_FILL).set_border(border).set_border_color(Color::Gray)
    }
}

/// A column: its head, its unit and its width in letters.
pub(super) type Column<'a> = (&'a str, &'a str, f64);

/// Longest text that a cell may hold.
const MOST_LETTERS: usize = 32_000;

/// A sheet.
pub(super) struct Sheet<'s> {
    name: String,
    page: Worksheet,
    styles: &'s Styles,
}

impl<'s> Sheet<'s> {
    /// An empty one with a title and a line that says what it holds.
    pub(super) fn new(name: &str, styles: &'s Styles, title: &str, note: &str) -> Result<Self, NoWorkbook> {
        let mut page = Worksheet::new();
        page.set_name(name)?;
        page.set_landscape().set_print_fit_to_pages(1, 0);
        let mut sheet = Self { name: name.to_owned(), page, styles };
        sheet.text((0, 0), title, Look::Title)?;
        sheet.text((1, 0), note, Look::Note)?;
        Ok(sheet)
    }

    pub(super) fn name(&self) -> &str {
        &self.name
    }

    /// The finished sheet.
    pub(super) fn page(self) -> Worksheet {
        self.page
    }

    pub(super) fn page_mut(&mut self) -> &mut Worksheet {
        &mut self.page
    }

    /// A text: never a formula, whatever it begins with.
    pub(super) fn text(&mut self, (row, column): (u32, u16), text: &str, look: Look) -> Result<(), NoWorkbook> {
        let shown: String = printable(text).chars().take(MOST_LETTERS).collect();
        self.page.write_string_with_format(row, column, shown, &self.styles.format(look))?;
        Ok(())
    }

    /// A text in a cell of a row so high that it can be read whole when cells are merged over so many columns.
    pub(super) fn paragraph(&mut self, row: u32, columns: u16, text: &str) -> Result<(), NoWorkbook> {
        const LETTERS_IN_LINE: usize = 110;
        let shown: String = printable(text).chars().take(MOST_LETTERS).collect();
        let lines = shown.chars().count().div_ceil(LETTERS_IN_LINE).max(1);
        let format = Format::new().set_text_wrap().set_align(FormatAlign::Top);
        self.page.merge_range(row, 0, row, columns - 1, &shown, &format)?;
        self.page.set_row_height(row, 15.0 * lines as f64)?;
        Ok(())
    }

    /// A number that stands.
    pub(super) fn number(&mut self, at: (u32, u16), value: f64, look: Look) -> Result<Live, NoWorkbook> {
        self.page.write_number_with_format(at.0, at.1, value + 0.0, &self.styles.format(look))?;
        Ok(Live::cell(&self.name, at, value))
    }

    /// A number that a person may change.
    pub(super) fn input(&mut self, at: (u32, u16), value: f64, look: Look) -> Result<Live, NoWorkbook> {
        self.page.write_number_with_format(at.0, at.1, value + 0.0, &self.styles.input(look))?;
        Ok(Live::cell(&self.name, at, value))
    }

    /// An empty cell in which a person may put a number.
    pub(super) fn open_input(&mut self, at: (u32, u16), look: Look) -> Result<(), NoWorkbook> {
        self.page.write_blank(at.0, at.1, &self.styles.input(look))?;
        Ok(())
    }

    /// A formula, and the cell in which it stands.
    pub(super) fn live(&mut self, at: (u32, u16), live: &Live, look: Look) -> Result<Live, NoWorkbook> {
        self.formula(at, live.text(), &(live.value() + 0.0).to_string(), look)?;
        Ok(Live::cell(&self.name, at, live.value()))
    }

    /// A formula that gives a number, or a word where there is none.
    pub(super) fn live_or(
        &mut self,
        at: (u32, u16),
        text: &str,
        (value, word): (Option<f64>, &str),
        look: Look,
    ) -> Result<(), NoWorkbook> {
        let result = value.map_or_else(|| word.to_owned(), |value| (value + 0.0).to_string());
        self.formula(at, text, &result, look)
    }

    fn formula(&mut self, at: (u32, u16), text: &str, result: &str, look: Look) -> Result<(), NoWorkbook> {
        let own = text.replace(&format!("{}!", self.name), "");
        let formula = Formula::new(format!("={own}")).set_result(result);
        self.page.write_formula_with_format(at.0, at.1, formula, &self.styles.format(look))?;
        Ok(())
    }

    /// Heads with their units below, in two rows from this one on; what is below them scrolls, they stay.
    pub(super) fn heads(&mut self, row: u32, columns: &[Column<'_>], fixed_columns: u16) -> Result<u32, NoWorkbook> {
        let head = Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Bottom);
        let unit = Format::new().set_italic().set_border_bottom(FormatBorder::Thin);
        for (column, (name, of, width)) in (0..).zip(columns) {
            self.page.write_string_with_format(row, column, printable(name), &head)?;
            self.page.write_string_with_format(row + 1, column, printable(of), &unit)?;
            self.page.set_column_width(column, *width)?;
        }
        self.page.set_row_height(row, 45)?;
        self.page.set_freeze_panes(row + 2, fixed_columns)?;
        self.page.set_repeat_rows(row, row + 1)?;
        Ok(row + 2)
    }

    /// Cells below each other from here on.
    pub(super) fn down(&self, at: (u32, u16), values: Vec<f64>) -> Span {
        Span::down(&self.name, at, values)
    }
}

/// A row of a table by its number from 0.
pub(super) fn row_at(first: u32, at: usize) -> u32 {
    first + u32::try_from(at).unwrap_or(u32::MAX)
}

/// A column of a table by its number from 0.
pub(super) fn column_at(first: u16, at: usize) -> u16 {
    first + u16::try_from(at).unwrap_or(u16::MAX)
}
