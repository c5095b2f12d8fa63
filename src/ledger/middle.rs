//! Which of several weather years stands for them all.

use super::{Account, Book};

/// Place of the book whose heat need is the middle one; of an even number, the higher of the middle two: what
/// is sized by it is then not too small.
/// Nothing without books.
pub fn middle_year(books: &[Book]) -> Option<usize> {
    let mut order: Vec<(usize, f64)> =
        books.iter().map(|book| Account::of_all(book).heat_need_kwh).enumerate().collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    order.get(order.len() / 2).map(|found| found.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::Entry;

    fn year_of(heat_need_kwh: f64) -> Book {
        Book { hours: vec![Entry { heat_need_kwh, ..Entry::default() }], ..Book::default() }
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
