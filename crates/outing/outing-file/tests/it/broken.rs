//! What people see for broken files: every file of `tests/broken`, as it is printed.

use std::path::Path;

use farhop_outing_file::{read, render_all};

#[test]
fn broken_files_are_explained() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/broken");
    let mut names: Vec<String> = std::fs::read_dir(&folder)
        .expect("folder")
        .filter_map(|e| e.ok()?.file_name().into_string().ok())
        .filter(|n| n.ends_with(".toml"))
        .collect();
    names.sort();
    assert!(names.len() >= 10, "the folder has shrunk");
    for name in names {
        let text = std::fs::read_to_string(folder.join(&name)).expect("readable");
        let load = |file: &str| std::fs::read_to_string(folder.join(file)).map_err(|_| "no such file".to_owned());
        let reading = read(&text, &name, &load);
        assert_eq!(
            reading.outing.is_none(),
            reading.problems.iter().any(|p| p.is_error()),
            "{name}"
        );
        insta::with_settings!({ snapshot_suffix => name.trim_end_matches(".toml"), prepend_module_to_snapshot => false }, {
            insta::assert_snapshot!("broken", render_all(&reading.problems));
        });
    }
}
