//! Mistakes of a file as such, before anyone asks what it means.

use super::mistakes;

mistakes! {
    /// There is no such file.
    Error "file-missing" FileMissing {} "there is no file of this name" => "check the name and the folder";
    /// A folder stands where a file should.
    Error "file-is-folder" FileIsFolder {} "this is a folder, not a file" => "name the file inside it, for example its `intake.yaml`";
    /// The system would not let it be read.
    Error "file-unreadable" FileUnreadable { reason: String } "this file cannot be read: {reason}" => "check that it is a file and that you may read it";
    /// Larger than is read.
    Error "file-too-large" FileTooLarge { bytes: usize, most: usize } "this file is too large to be read" => format!("keep it under {} MiB; photos and films belong in files of their own", most >> 20);
    /// Nothing in it.
    Error "empty-file" EmptyFile {} "this file is empty" => "a fresh form comes from `perchside blank`, a fresh log from `perchside log blank`";
    /// Not UTF-8 text.
    Error "not-utf8" NotUtf8 { line: usize, wide: bool } "this file is not saved as plain text in UTF-8 (first seen in line {line})" => if *wide { "it looks like UTF-16: save it again as UTF-8 in your editor" } else { "save it again as UTF-8 in your editor; a word-processor file has to be exported as plain text" };
    /// Text that is no YAML.
    Error "not-yaml" NotYaml { reason: String, advice: String } "this cannot be read: {reason}" => advice;
    /// Text that is no JSON.
    Error "not-json" NotJson { reason: String } "this is not JSON: {reason}" => "save it again from the program it came from; text stands in double quotes, and nothing follows the last entry";
    /// A key written twice in one place.
    Error "duplicate-key" DuplicateKey { key: String } "`{key}` is written more than once here" => "keep one of them; where there are several (people, bites), start each block with `-`";
    /// An anchor or alias.
    Error "anchor-used" AnchorUsed {} "text that starts with `&` or `*` is not read here" => "put it in quotes; references between parts of a file are not used, so write the value out in each place";
    /// A tag.
    Error "tag-used" TagUsed {} "text that starts with `!` is not read here" => "put it in quotes";
    /// `.inf` or `.nan`.
    Error "infinite-number" InfiniteNumber {} "this is no ordinary number" => "write a plain number, or leave it blank";
    /// Several documents in one file.
    Error "not-one-document" NotOneDocument {} "this file holds more than one document" => "keep one case or entry a file: take out the line with `---` and what follows it";
    /// Nested too deep.
    Error "too-deep" TooDeep { most: usize } "this is nested more than {most} levels deep" => "check the indents; no form needs that many levels";
    /// Too many keys and items.
    Error "too-many-entries" TooManyEntries { most: usize } "this file holds more than {most} entries" => "split the file, or leave out what is not needed; of many bites the last five, the worst and the newest are enough";
}
