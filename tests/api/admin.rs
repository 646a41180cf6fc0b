//! A listener for the operator alone.

use std::process::Command;

use reqwest::Method;

use crate::support::served::{Reply, send, serve, serve_with_admin};
use crate::support::standin::REGISTRY;

const ADMIN: [&str; 2] = ["--admin-listen", "127.0.0.1:0"];

async fn get(url: &str) -> Reply {
    send(Method::GET, url, &[], "").await
}

#[actix_web::test]
async fn the_counters_stand_on_the_admin_port_alone_where_there_is_one() {
    let (base, admin) = serve_with_admin(&ADMIN, &REGISTRY);
    let admin = admin.expect("an address");
    get(&format!("{base}/metrics"))
        .await
        .assert_problem(404, "not_found");
    get(&format!("{base}/v1/ratio?dose_g=18&brew_ratio=2")).await;
    let counters = get(&format!("{admin}/metrics")).await;
    assert_eq!(counters.status, 200);
    // one service, whichever port tells of it
    let seen = r#"http_route="/v1/ratio""#;
    assert!(counters.text.contains(seen), "{}", counters.text);
    for path in ["/livez", "/readyz"] {
        for port in [&base, &admin] {
            assert_eq!(get(&format!("{port}{path}")).await.status, 200, "{path}");
        }
    }
}

#[actix_web::test]
async fn the_admin_port_answers_nothing_else() {
    let (_, admin) = serve_with_admin(&ADMIN, &REGISTRY);
    let admin = admin.expect("an address");
    for path in ["/", "/v1", "/v1/ratio?dose_g=18&brew_ratio=2", "/docs/"] {
        let reply = get(&format!("{admin}{path}")).await;
        reply.assert_problem(404, "not_found");
    }
    let posted = send(Method::POST, &format!("{admin}/metrics"), &[], "").await;
    posted.assert_problem(405, "method_not_allowed");
    assert_eq!(posted.header("allow"), "GET, HEAD");
}

#[actix_web::test]
async fn without_an_admin_port_the_counters_are_public() {
    let base = serve(&[], &REGISTRY);
    assert_eq!(get(&format!("{base}/metrics")).await.status, 200);
}

#[test]
fn the_health_check_asks_the_admin_port_where_there_is_one() {
    let (_, admin) = serve_with_admin(&ADMIN, &REGISTRY);
    let admin = admin.expect("an address");
    let check = |listen: &str, admin: &str| {
        Command::new(env!("CARGO_BIN_EXE_extraction-maths"))
            .args(["healthcheck", "--listen", listen, "--admin-listen", admin])
            .output()
            .expect("the program starts")
            .status
            .success()
    };
    // the discard port: nothing answers there
    assert!(check("127.0.0.1:9", admin.trim_start_matches("http://")));
    assert!(!check(admin.trim_start_matches("http://"), "127.0.0.1:9"));
}
