//! Which of several weather years stands for them all.

use super::Book;

/// Place of the book whose heat need is the middle one ([`middle_of`]).
/// Nothing without books.
pub fn middle_year(books: &[Book]) -> Option<usize> {
    middle_of(books.iter().map(|book| book.hours.iter().map(|hour| hour.heat_need_kwh).sum()))
}

/// Place of the year whose need is the middle one; of an even number, the higher of the middle two: what is sized by
/// it is then not too small. Nothing without years.
pub fn middle_of(need_kwh: impl Iterator<Item = f64>) -> Option<usize> {
    let mut order: Vec<(usize, f64)> = need_kwh.enumerate().collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    order.get(order.len() / 2).map(|found| found.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::Entry;

    fn year_of(heat_need_kwh: f64) -> Book {
        Book { hours: vec![Entry { heat_need_kwh, ..Entry::default() }].into(), ..Book::default() }
    }

    #[test]
    fn the_middle_year_has_as_many_above_it_as_below() {
        let books = [7.0, 1.0, 5.0].map(year_of);
        assert_eq!(middle_year(&books), Some(2));
    }

    #[test]
    fn of_an_even_number_the_higher_of_the_middle_two_stands() {
        let books = [7.0, 1.0, 5.0, 3.0].map(year_of);
        assert_eq!(middle_year(&books), Some(2));
        assert_eq!(middle_year(&books[..2]), Some(0));
    }

    #[test]
    fn without_books_there_is_none() {
        assert_eq!(middle_year(&[]), None);
    }
}
