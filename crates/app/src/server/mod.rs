//! The pages, on this machine only: loopback, nothing fetched from outside.

mod more;
mod routes;
pub(crate) mod session;
mod solution;

use crate::terminal::{Trouble, say};
use session::Session;
use std::net::{Ipv4Addr, SocketAddr};
use std::sync::{Arc, Mutex};

/// Serves a session until the program is ended.
pub(crate) fn serve(session: Session, port: u16, open_browser: bool) -> Result<(), Trouble> {
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    runtime.block_on(async {
        let wanted = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
        let listener = match tokio::net::TcpListener::bind(wanted).await {
            Ok(l) => l,
            // Another bench may be open: any free port will do.
            Err(e) if e.kind() == std::io::ErrorKind::AddrInUse => {
                tokio::net::TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, 0))).await?
            }
            Err(e) => return Err(e.into()),
        };
        let address = format!("http://{}/", listener.local_addr()?);
        say(&format!("{} is open at {address} (end with Ctrl-C)", session.title()))?;
        if open_browser {
            // No browser on this machine is no trouble: the address stands above.
            let _ = webbrowser::open(&address);
        }
        let app = routes::router(Arc::new(Mutex::new(session)));
        axum::serve(listener, app)
            .with_graceful_shutdown(async {
                let _ = tokio::signal::ctrl_c().await;
            })
            .await?;
        Ok(())
    })
}
