//! Rebuild when a rule or a template is added, changed or removed: both folders are embedded whole.
fn main() {
    println!("cargo:rerun-if-changed=rules");
    println!("cargo:rerun-if-changed=templates");
}
