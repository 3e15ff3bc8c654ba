//! A compiler that can build `core` for a Cortex-M, and an emulator: Debian's packages, unpacked into a
//! cache beside the system, which stays as it is.
//!
//! Rustup's compiler cannot be told to build its own library without rust-src, which the package registries
//! do not carry; Debian's `rustc-web` comes with its source.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::tool::{self, capture, command};

/// What is asked for by name; the compiler's libraries have its version in theirs.
const COMPILER: [&str; 3] = ["rustc-web", "rust-web-src", "libstd-rust-web-dev"];
const COMPILER_LIBRARIES: [&str; 2] = ["libstd-rust-web-1", "libllvm"];
const EMULATOR: [&str; 3] = ["qemu-system-arm", "qemu-system-common", "qemu-system-data"];

/// Compiler, emulator and linker, and what the first two call themselves.
pub(super) struct Toolchain {
    pub(super) compiler: PathBuf,
    pub(super) emulator: PathBuf,
    pub(super) linker: PathBuf,
    pub(super) compiler_version: String,
    pub(super) emulator_version: String,
}

impl Toolchain {
    /// The toolchain in the cache, if it is there.
    pub(super) fn find() -> Result<Option<Self>, String> {
        let programs = folder()?.join("bin");
        let (compiler, emulator) = (programs.join("rustc"), programs.join("qemu-system-arm"));
        if !compiler.exists() || !emulator.exists() {
            return Ok(None);
        }
        let (compiler_version, emulator_version) = (version(&compiler)?, version(&emulator)?);
        Ok(Some(Self { compiler, emulator, linker: linker()?, compiler_version, emulator_version }))
    }

    /// The toolchain in the cache, which is filled if it is empty.
    pub(super) fn find_or_fetch() -> Result<Self, String> {
        if let Some(toolchain) = Self::find()? {
            return Ok(toolchain);
        }
        fetch(&folder()?)?;
        Self::find()?.ok_or_else(|| String::from("what was unpacked has no compiler or no emulator"))
    }
}

/// The cache: outside `target`, so that cleaning does not fetch 150 MB again.
pub(super) fn folder() -> Result<PathBuf, String> {
    let set = |name| std::env::var_os(name).filter(|value| !value.is_empty()).map(PathBuf::from);
    set("XDG_CACHE_HOME")
        .or_else(|| Some(set("HOME")?.join(".cache")))
        .map(|caches| caches.join("wholestep-chip"))
        .ok_or_else(|| String::from("neither XDG_CACHE_HOME nor HOME says where caches are"))
}

/// The linker that comes with rustup's compiler.
fn linker() -> Result<PathBuf, String> {
    let root = written(command("rustc", &["--print", "sysroot"]).env_remove("RUSTC"))?;
    let host = format!("lib/rustlib/{}-unknown-linux-gnu/bin/rust-lld", std::env::consts::ARCH);
    let linker = Path::new(root.trim()).join(host);
    if linker.exists() { Ok(linker) } else { Err(format!("rustup's {} is missing", linker.display())) }
}

fn version(program: &Path) -> Result<String, String> {
    let text = written(&mut command(program, &["--version"]))?;
    Ok(text.lines().next().unwrap_or_default().to_string())
}

fn fetch(folder: &Path) -> Result<(), String> {
    println!("Fetching a compiler and an emulator into {}: 150 MB, 1.1 GB unpacked.", folder.display());
    if capture(&mut command("apt-get", &["--version"])).is_err() {
        return Err("apt-get is needed: compiler and emulator are Debian's packages".into());
    }
    // Lists that lie there may be old, and name a compiler that is too old.
    tool::run(&mut command("apt-get", &["update"]))?;
    let packages = folder.join("packages");
    make(&packages)?;
    let names = packages_needed()?;
    tool::run(command("apt-get", &["download"]).args(&names).current_dir(&packages))?;

    let (unpacking, root) = (folder.join("unpacking"), folder.join("root"));
    for stale in [&unpacking, &root] {
        if stale.exists() {
            fs::remove_dir_all(stale).map_err(|error| format!("{}: {error}", stale.display()))?;
        }
    }
    make(&unpacking)?;
    let entries = fs::read_dir(&packages).map_err(|error| format!("{}: {error}", packages.display()))?;
    let mut files: Vec<_> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
    files.sort();
    for file in files {
        tool::run(command("dpkg", &["--extract"]).arg(file).arg(&unpacking))?;
    }
    fs::rename(&unpacking, &root).map_err(|error| format!("{}: {error}", root.display()))?;

    let data = root.join("usr/share/qemu");
    wrap(folder, &root, "rustc", "")?;
    wrap(folder, &root, "qemu-system-arm", &format!("-L '{}' ", data.display()))
}

/// The packages, and what they stand on that this system lacks.
fn packages_needed() -> Result<BTreeSet<String>, String> {
    let mut names: BTreeSet<String> = COMPILER.iter().chain(&EMULATOR).map(ToString::to_string).collect();
    for _ in &COMPILER_LIBRARIES {
        let depends = written(command("apt-cache", &["depends"]).args(&names))?;
        let libraries = depends
            .lines()
            .filter_map(|line| line.trim().strip_prefix("Depends: "))
            .filter(|name| COMPILER_LIBRARIES.iter().any(|prefix| name.starts_with(prefix)));
        names.extend(libraries.map(String::from));
    }
    // Simulated, because installing could remove a package; the compiler itself never goes beside rustup.
    let installed = names.iter().filter(|name| !name.starts_with("rust") && !name.contains("-rust-"));
    let plan = ["install", "--simulate", "--no-install-recommends"];
    let lines = written(command("apt-get", &plan).args(installed))?;
    names.extend(
        lines.lines().filter_map(|line| line.strip_prefix("Inst ")?.split(' ').next()).map(String::from),
    );
    Ok(names)
}

/// Writes a script that runs an unpacked program with the libraries unpacked beside it.
fn wrap(folder: &Path, root: &Path, name: &str, arguments: &str) -> Result<(), String> {
    let programs = folder.join("bin");
    make(&programs)?;
    let (root, triple) = (root.display(), format!("{}-linux-gnu", std::env::consts::ARCH));
    let text = format!(
        "#!/bin/sh\n\
         export LD_LIBRARY_PATH='{root}/usr/lib/{triple}:{root}/lib/{triple}'\n\
         exec '{root}/usr/bin/{name}' {arguments}\"$@\"\n"
    );
    let script = programs.join(name);
    fs::write(&script, text).map_err(|error| format!("{}: {error}", script.display()))?;
    tool::run(command("chmod", &["+x"]).arg(&script))
}

fn make(folder: &Path) -> Result<(), String> {
    fs::create_dir_all(folder).map_err(|error| format!("{}: {error}", folder.display()))
}

/// What a command that succeeded wrote.
fn written(command: &mut Command) -> Result<String, String> {
    let done = capture(command)?;
    if done.success {
        Ok(done.output)
    } else {
        Err(format!("{}: {}", command.get_program().to_string_lossy(), done.errors))
    }
}
