//! What a browser calls. Bytes go in and out through two buffers of our own; a message is the length of its head (four bytes, low
//! one first), the head as JSON, and the body.
#![allow(
    unsafe_code,
    reason = "a name that is called from outside must stand as it is; nothing else here is unsafe"
)]

use std::sync::{Mutex, MutexGuard, OnceLock, PoisonError};

use crate::content::Asked;
use crate::engine::Engine;

static INPUT: Mutex<Vec<u8>> = Mutex::new(Vec::new());
static OUTPUT: Mutex<Vec<u8>> = Mutex::new(Vec::new());
static ENGINE: OnceLock<Engine> = OnceLock::new();

#[link(wasm_import_module = "farhop")]
unsafe extern "C" {
    /// Told how far long work has come; the word stands in our memory.
    safe fn progress(what: *const u8, length: usize, done: usize, total: usize);
    /// Told why we stop for good; the words stand in our memory.
    safe fn stopped(words: *const u8, length: usize);
}

fn tell(what: &str, done: usize, total: usize) {
    progress(what.as_ptr(), what.len(), done, total);
}

fn engine() -> &'static Engine {
    ENGINE.get_or_init(|| {
        std::panic::set_hook(Box::new(|info| {
            let words = info.to_string();
            stopped(words.as_ptr(), words.len());
        }));
        Engine::new(tell)
    })
}

fn held(buffer: &'static Mutex<Vec<u8>>) -> MutexGuard<'static, Vec<u8>> {
    buffer.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Makes room for a message and says where.
#[unsafe(no_mangle)]
pub extern "C" fn input(length: usize) -> *mut u8 {
    let mut input = held(&INPUT);
    *input = vec![0; length];
    input.as_mut_ptr()
}

/// Where the answer stands.
#[unsafe(no_mangle)]
pub extern "C" fn output() -> *const u8 {
    held(&OUTPUT).as_ptr()
}

/// Answers the message; gives the length of the answer, 0 where the message could not be read.
#[unsafe(no_mangle)]
pub extern "C" fn handle() -> usize {
    let message = std::mem::take(&mut *held(&INPUT));
    let Some((asked, body)) = read(&message) else { return 0 };
    let (told, body) = engine().handle(asked, body);
    let Ok(head) = serde_json::to_vec(&told) else { return 0 };
    let mut answer = Vec::with_capacity(4 + head.len() + body.len());
    answer.extend((head.len() as u32).to_le_bytes());
    answer.extend(head);
    answer.extend(body);
    let length = answer.len();
    *held(&OUTPUT) = answer;
    length
}

/// Takes in what was made elsewhere, as [`made`] gives it; says how many of it are whole.
#[unsafe(no_mangle)]
pub extern "C" fn take() -> usize {
    let bytes = std::mem::take(&mut *held(&INPUT));
    engine().take(&bytes)
}

/// Takes in the file of a month, 1 for January; 0 where it is none.
#[unsafe(no_mangle)]
pub extern "C" fn bring(month: usize) -> usize {
    let bytes = std::mem::take(&mut *held(&INPUT));
    usize::from(crate::months::bring(month, &bytes))
}

/// Gives what was made here since the last time; the length of it.
#[unsafe(no_mangle)]
pub extern "C" fn made() -> usize {
    let bytes = engine().made();
    let length = bytes.len();
    *held(&OUTPUT) = bytes;
    length
}

/// How many antennas and tables the outing that was asked about last still needs.
#[unsafe(no_mangle)]
pub extern "C" fn wanting() -> usize {
    engine().wanting()
}

/// Makes one of several equal shares of them.
#[unsafe(no_mangle)]
pub extern "C" fn share(index: usize, count: usize) {
    engine().share(index, count);
}

/// Does the long work that waits.
#[unsafe(no_mangle)]
pub extern "C" fn work() {
    engine().work();
}

fn read(message: &[u8]) -> Option<(Asked, Vec<u8>)> {
    let (length, rest) = message.split_first_chunk::<4>()?;
    let (head, body) = rest.split_at_checked(u32::from_le_bytes(*length) as usize)?;
    Some((serde_json::from_slice(head).ok()?, body.to_vec()))
}
