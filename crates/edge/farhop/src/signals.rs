//! Signals of the system: a file that has begun to be written is written whole before the program ends, and a limit on the size of
//! files is an error like a full disk.

/// Makes a limit on the size of files an error of the write, where the system would end the program in the middle of it.
pub fn settle() {
    #[cfg(unix)]
    // Where it cannot be had the program works as before, and is ended by such a limit.
    let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, std::sync::Arc::default());
}

/// Writes something that must not be left in the middle: who asks the program to end meanwhile (Ctrl-C) waits until it is done.
pub fn undisturbed<T>(write: impl FnOnce() -> T) -> T {
    #[cfg(unix)]
    return unix::undisturbed(write);
    #[cfg(not(unix))]
    write()
}

#[cfg(unix)]
mod unix {
    use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
    use std::sync::{Arc, LazyLock};

    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    use signal_hook::{flag, low_level};

    /// Whether the program may end at any moment, and which signal has asked for it while it might not (0 for none).
    struct State {
        free: Arc<AtomicBool>,
        asked: Arc<AtomicUsize>,
    }

    static STATE: LazyLock<State> = LazyLock::new(|| {
        let state = State {
            free: Arc::new(AtomicBool::new(true)),
            asked: Arc::default(),
        };
        for signal in [SIGINT, SIGTERM, SIGHUP] {
            // Without them the program ends at once, as every program does.
            let number = usize::try_from(signal).unwrap_or(0);
            let _ = flag::register_usize(signal, Arc::clone(&state.asked), number);
            let _ = flag::register_conditional_default(signal, Arc::clone(&state.free));
        }
        state
    });

    pub(super) fn undisturbed<T>(write: impl FnOnce() -> T) -> T {
        STATE.free.store(false, Ordering::SeqCst);
        let done = write();
        STATE.free.store(true, Ordering::SeqCst);
        if let Ok(signal @ 1..) = i32::try_from(STATE.asked.load(Ordering::SeqCst)) {
            let _ = low_level::emulate_default_handler(signal);
        }
        done
    }
}
