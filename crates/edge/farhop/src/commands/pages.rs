//! `farhop pages`: man pages and completions, made from the command line itself.

use std::path::Path;

use clap_complete::Shell;

use crate::args::PagesArgs;
use crate::examples;
use crate::exit::Failure;
use crate::files::{self, Own};

/// Runs the command.
pub fn run(args: &PagesArgs) -> Result<(), Failure> {
    let failed = |what: &Path, e: std::io::Error| Failure::input(format!("{}: {e}", what.display()));
    let (man, shells) = (args.folder.join("man1"), args.folder.join("completions"));
    for folder in [&man, &shells] {
        std::fs::create_dir_all(folder).map_err(|e| failed(folder, e))?;
    }
    let own = Own::of(None);
    let mut count = 0;
    let mut put = |path: &Path, bytes: &[u8]| {
        count += 1;
        files::put(path, bytes, args.replace, &own)
    };
    let mut whole = examples::command();
    whole.build();
    let commands = whole.get_subcommands().filter(|c| c.get_name() != "help").cloned();
    let named = commands.map(|c| (format!("farhop-{}", c.get_name()), c));
    for (name, command) in std::iter::once(("farhop".to_owned(), whole.clone())).chain(named) {
        let mut page = Vec::new();
        clap_mangen::Man::new(command.display_name(name.clone()))
            .title(name.clone())
            .render(&mut page)
            .map_err(Failure::ours)?;
        put(&man.join(format!("{name}.1")), &page)?;
    }
    for shell in [Shell::Bash, Shell::Elvish, Shell::Fish, Shell::PowerShell, Shell::Zsh] {
        let mut text = Vec::new();
        clap_complete::generate(shell, &mut examples::command(), "farhop", &mut text);
        put(&shells.join(format!("farhop.{}", ending(shell))), &text)?;
    }
    crate::say::outln!("{count} files written: {} and {}", man.display(), shells.display());
    Ok(())
}

fn ending(shell: Shell) -> String {
    match shell {
        Shell::PowerShell => "ps1".to_owned(),
        other => other.to_string(),
    }
}
