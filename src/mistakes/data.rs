//! Mistakes of any data file in `rules/`: keys, types, ids.

use super::{meant, mistakes};
use crate::words::either;

mistakes! {
    /// A key the format does not have.
    Error "unknown-field" UnknownField { key: String, close: Option<String>, keys: Vec<String> } "`{key}` is not something this entry has" => meant(close, format!("it has {}", either(keys)));
    /// A key that must be there.
    Error "missing-field" MissingField { key: String } "`{key}` is missing" => format!("write `{key}:` and what it says behind it");
    /// Another kind of thing than the key takes.
    Error "wrong-kind" WrongKind { key: String, wanted: String, found: String } "`{key}` needs {wanted}, and holds {found}" => format!("write {wanted}");
    /// A word out of a fixed set.
    Error "unknown-word" UnknownWord { key: String, text: String, close: Option<String>, words: Vec<String> } "`{text}` is not something `{key}` can be" => meant(close, if words.len() == 1 { format!("it can only be `{}`", either(words)) } else { format!("it is one of {}", either(words)) });
    /// An id that is not kebab-case.
    Error "id-not-kebab" IdNotKebab { id: String } "the id `{id}` is not lower-case words joined by hyphens" => "write it like `child-within-reach`";
    /// An id that is not the file's name.
    Error "id-not-file-name" IdNotFileName { id: String, stem: String } "the id `{id}` is not the name of its file (`{stem}`)" => format!("write `id: {stem}`, or rename the file to `{id}.yaml`");
    /// One id, two entries.
    Error "id-used-twice" IdUsedTwice { id: String, other: String } "the id `{id}` is used already in {other}" => "give one of them another id; nothing is chosen silently";
    /// A file that has to be there.
    Error "data-file-missing" DataFileMissing { file: String } "`{file}` is missing from this folder of rules" => "copy it from the base rulebook and change it there";
    /// A file that lies among files of another kind.
    Error "file-in-wrong-folder" FileInWrongFolder { is: String, belongs: String } "this looks like {is}, and nothing of that kind is read from this folder" => format!("move it to {belongs}");
    /// A row of a table that is no row: a cell too many or too few, a quote left open.
    Error "row-unreadable" RowUnreadable { reason: String } "this row cannot be read: {reason}" => "give each row as many cells as the first line, with commas between them, and quotes around a cell that holds a comma";
    /// A column a table must have.
    Error "column-missing" ColumnMissing { column: String, close: Option<String> } "this table has no column `{column}`" => meant(close, "add it to the first line, and its cell to each row");
    /// A cell that is left blank or holds something else.
    Error "cell-does-not-fit" CellDoesNotFit { column: String, wanted: String, found: String } "`{column}` needs {wanted}, and holds {found}" => format!("write {wanted}");
    /// A name that the other table does not have.
    Error "unknown-species" UnknownSpecies { name: String, close: Option<String>, file: String } "`{name}` has no row in `{file}`" => meant(close, "write the scientific name as that table has it, or add its row there");
    /// A file that no part of the rulebook reads.
    Warning "stray-file" StrayFile { file: String } "no part of the rulebook reads `{file}`" => "rules lie in a folder of their topic and end in `.yaml`, tables of species in `species/`; move, rename or remove it";
    /// A question whose fields do not go together.
    Error "question-does-not-fit" QuestionDoesNotFit { id: String, why: String } "`{id}` does not hold together: {why}" => "see how the others of its type are written";
    /// A derived fact the program does not compute, or one it computes and nobody declared.
    Error "derived-fact-unknown" DerivedFactUnknown { id: String, close: Option<String> } "nothing computes the fact `{id}`" => meant(close, "derived facts are computed in the program; remove the entry");
}
