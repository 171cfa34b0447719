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
    Error "file-too-large" FileTooLarge { bytes: usize, most: usize } "this file is larger than is read" => format!("keep it under {most} bytes; photos and films belong in files of their own");
    /// Nothing in it.
    Error "empty-file" EmptyFile {} "this file is empty" => "start from a fresh form: `perchside blank > intake.yaml`";
    /// Not UTF-8 text.
    Error "not-utf8" NotUtf8 { line: usize, wide: bool } "this is not plain UTF-8 text (first seen in line {line})" => if *wide { "it looks like UTF-16: save it again as UTF-8 in your editor" } else { "save it again as UTF-8 in your editor; a word-processor file has to be exported as plain text" };
    /// Text that is no YAML.
    Error "not-yaml" NotYaml { reason: String } "this line cannot be read: {reason}" => "look for a missing space after a colon, uneven indents, a tab, or an open quote or bracket in this line or just above it";
    /// A key written twice in one place.
    Error "duplicate-key" DuplicateKey { key: String } "`{key}` is written more than once here" => "keep one of them; for several people or bites start each block with `-`";
    /// An anchor or alias.
    Error "anchor-used" AnchorUsed {} "references between parts of a file (`&name`, `*name`) are not read" => "write the value out in each place, or put the text in quotes if it starts with & or *";
    /// A tag.
    Error "tag-used" TagUsed {} "type marks such as `!name` are not read" => "leave the mark out, or put the text in quotes if it starts with !";
    /// `.inf` or `.nan`.
    Error "infinite-number" InfiniteNumber {} "this is no ordinary number" => "write a plain number, or leave it blank";
    /// Several documents in one file.
    Error "not-one-document" NotOneDocument {} "this file holds more than one document" => "keep one case a file: take out the line with `---` and what follows it";
    /// Nested too deep.
    Error "too-deep" TooDeep { most: usize } "this is nested more than {most} levels deep" => "check the indents; no form needs that many levels";
    /// Too many keys and items.
    Error "too-many-entries" TooManyEntries { most: usize } "this file holds more than {most} entries" => "keep the last five bites, the worst and the newest; older ones need not all be listed";
}
