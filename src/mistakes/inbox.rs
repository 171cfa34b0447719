//! Mistakes of a table of enquiries and of the file that maps its headers.

use super::{meant, mistakes};

mistakes! {
    /// A table without a row of headers.
    Error "headers-missing" HeadersMissing {} "the first row of this table names no question of the form" => "head each column with `group.question`, such as `bird.species` or `people.1.age`, or map your own headers with `--columns`";
    /// Two columns for one answer.
    Error "column-twice" ColumnTwice { name: String } "the column `{name}` answers a question that another column answers as well" => "keep one of them, or map the other to `ignore`";
    /// A column nobody knows.
    Error "column-unknown" ColumnUnknown { name: String, close: Option<String> } "`{name}` is no question of the form" => meant(close, "head it `group.question` or `group.1.question`, or map it to a question or to `ignore` in the file for `--columns`");
    /// A row with more or fewer cells than headers.
    Error "row-does-not-fit" RowDoesNotFit { cells: usize, columns: usize } "this row has {cells} cells, and the table has {columns} columns" => "put text that holds a comma, a quote or a line break in double quotes, and write a quote inside it twice";
    /// A quote that is never closed.
    Error "quote-open" QuoteOpen {} "a quote in this row is never closed, or its row does not fit the headers" => "put text that holds a quote in double quotes, and write the quote inside it twice";
}
