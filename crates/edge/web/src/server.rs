//! From options to a running server.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware::from_fn_with_state;
use axum::routing::{get, post};
use farhop_pages::{App as Pages, Desk, MOST_BYTES, Role};
use farhop_store::data_folder;
use tokio::net::TcpListener;
use tokio::runtime::{Builder, Runtime};

use crate::app::{App, Say};
use crate::connections;
use crate::devices;
use crate::enter;
use crate::folder::Folder;
use crate::guard::{self, Phrases, Rate, Sessions, SessionsFile};
use crate::machine::Machine;
use crate::phone;
use crate::tagged::{self, Packed};

/// Requests at once, and a second, from one address.
const RATE: (f64, f64) = (200.0, 50.0);
/// Pages and entries that are worked on at once; others stand in line. The allocator keeps memory for each thread of its own, 10 MB and
/// more (measured: 16 phones take 132 MB with 16 threads, 70 MB where threads share).
const AT_WORK: usize = 4;
/// Pass phrases at once, and a second, from one address: who tries from elsewhere keeps nobody out.
const TRIES: (f64, f64) = (5.0, 1.0 / 20.0);

/// How to serve.
pub struct Options {
    /// The outing file; none is the demo.
    pub outing: Option<PathBuf>,
    /// The port; 0 takes any that is free.
    pub port: u16,
    /// Other devices may come in by pass phrase.
    pub share: bool,
    /// Everything as one file for a phone; none where its engine is not there.
    pub single: Option<Arc<str>>,
    /// Told what the person at the terminal should know.
    pub say: Say,
}

/// A server that is bound and not yet running.
pub struct Server {
    runtime: Runtime,
    listener: TcpListener,
    app: Arc<App>,
}

impl Server {
    /// Binds the port.
    ///
    /// # Errors
    /// In words: the port is taken, or the system gives no random numbers.
    pub fn bind(options: Options) -> Result<Self, String> {
        Self::bind_with_data(options, Some(data_folder()))
    }

    /// Binds the port, with sessions kept in a folder, or nowhere.
    ///
    /// # Errors
    /// As [`Server::bind`].
    pub fn bind_with_data(options: Options, data: Option<PathBuf>) -> Result<Self, String> {
        let runtime = Builder::new_multi_thread()
            .enable_all()
            .max_blocking_threads(AT_WORK)
            .build()
            .map_err(|e| e.to_string())?;
        let ip = if options.share {
            Ipv4Addr::UNSPECIFIED
        } else {
            Ipv4Addr::LOCALHOST
        };
        let wanted = SocketAddr::new(IpAddr::V4(ip), options.port);
        let listener = runtime
            .block_on(TcpListener::bind(wanted))
            .map_err(|e| format!("--port {}: {e}; choose another", options.port))?;
        let port = listener.local_addr().map_err(|e| e.to_string())?.port();
        let machine = Machine::new(runtime.handle().clone());
        let app = Arc::new(App {
            pages: Arc::new(Pages {
                desk: Desk::new(Arc::new(Folder::new(options.outing)), Arc::new(machine)),
                share: options.share,
                pocket: false,
            }),
            port,
            addresses: if options.share { addresses(port) } else { Vec::new() },
            sessions: Sessions::kept_in(
                data.filter(|_| options.share)
                    .map(|folder| SessionsFile::in_folder(&folder)),
            ),
            phrases: Phrases::new()?,
            rate: Rate::new(RATE.0, RATE.1),
            tries: Rate::new(TRIES.0, TRIES.1),
            packed: Packed::default(),
            single: options.single,
            say: options.say,
        });
        Ok(Self { runtime, listener, app })
    }

    /// The address on this machine.
    #[must_use]
    pub fn local_address(&self) -> String {
        format!("http://127.0.0.1:{}", self.app.port)
    }

    /// The address to open in a browser here: with `--share` it carries the phrase of who may edit behind the #, which no server sees.
    #[must_use]
    pub fn opening_address(&self) -> String {
        if self.app.pages.share {
            format!("{}/enter#{}", self.local_address(), self.app.phrases.now(Role::Edit))
        } else {
            self.local_address()
        }
    }

    /// What to tell other devices: addresses, a QR code and the phrase. Empty without `--share`.
    #[must_use]
    pub fn invitation(&self) -> String {
        if self.app.pages.share {
            enter::invitation(&self.app)
        } else {
            String::new()
        }
    }

    /// Serves until the program is told to end.
    ///
    /// # Errors
    /// In words: the system takes the port away.
    pub fn run(self) -> Result<(), String> {
        // The plan is begun before anybody asks.
        let _ = self.app.pages.desk.look();
        let router = router(&self.app);
        let listener = self.listener;
        self.runtime.block_on(async move {
            tokio::select! {
                () = connections::serve(listener, router) => Ok(()),
                _ = tokio::signal::ctrl_c() => Ok(()),
            }
        })
    }
}

/// The pages and the door, all behind the guard.
fn router(app: &Arc<App>) -> Router {
    let door = Router::new()
        .route("/enter", get(enter::show).post(enter::enter))
        .route("/pocket", get(phone::show))
        .route("/pocket/farhop.html", get(phone::file))
        .route("/invite", get(devices::show))
        .route("/invite/alone", post(devices::alone))
        .route("/invite/out", post(devices::out))
        .route(guard::NAME, post(devices::name))
        .layer(DefaultBodyLimit::max(MOST_BYTES))
        .with_state(Arc::clone(app));
    farhop_pages::router(Arc::clone(&app.pages))
        .merge(door)
        .layer(from_fn_with_state(Arc::clone(app), tagged::tag))
        .layer(from_fn_with_state(Arc::clone(app), guard::check))
}

/// Addresses of this machine at which others may find it.
fn addresses(port: u16) -> Vec<String> {
    let mut found: Vec<IpAddr> = if_addrs::get_if_addrs()
        .unwrap_or_default()
        .into_iter()
        .filter(|i| !i.is_loopback())
        .map(|i| i.ip())
        .filter(IpAddr::is_ipv4)
        .collect();
    found.sort_unstable();
    found.dedup();
    found.into_iter().map(|ip| format!("http://{ip}:{port}")).collect()
}
