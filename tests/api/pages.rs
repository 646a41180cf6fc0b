//! The pages around the calculations: problems, the index, the catalogue, the documentation.

use extraction_maths::api::problem::{FaultCode, ProblemCode};
use extraction_maths::api::registry::REGISTRY;

use crate::support::http::send;

#[tokio::test]
async fn every_problem_has_a_page_for_programs_and_one_for_people() {
    let list = send(("GET", "/problems"), &[], "").await.json();
    let list = list["problems"].as_array().expect("a list");
    assert_eq!(list.len(), ProblemCode::ALL.len());
    for (code, listed) in ProblemCode::ALL.iter().zip(list) {
        let path = format!("/problems/{}", code.as_str());
        let kind = send(("GET", &path), &[], "").await.json();
        assert_eq!(kind, *listed, "{path}");
        assert_eq!(kind["type"], path);
        assert_eq!(kind["status"], code.status());
        assert_eq!(kind["example"]["type"], path);
        assert_eq!(kind["example"]["code"], code.as_str());
        for part in ["title", "remedy"] {
            assert!(
                kind[part].as_str().is_some_and(|text| !text.is_empty()),
                "{path} {part}"
            );
        }
        let browser = [("accept", "text/html,application/xhtml+xml,*/*;q=0.8")];
        let page = send(("GET", &path), &browser, "").await;
        assert_eq!(page.header("content-type"), "text/html; charset=utf-8");
        assert!(
            page.text().contains(code.as_str()) && page.text().contains("<h1>"),
            "{path}"
        );
        assert!(!page.text().contains("<script"), "{path}");
        let policy = page.header("content-security-policy");
        assert!(policy.starts_with("default-src 'none'"), "{policy}");
        assert_ne!(
            page.header("etag"),
            send(("GET", &path), &[], "").await.header("etag")
        );
    }
}

#[tokio::test]
async fn the_page_of_wrong_requests_lists_every_fault_code_and_a_real_example() {
    let kind = send(("GET", "/problems/validation_failed"), &[], "")
        .await
        .json();
    let codes = kind["fault_codes"].as_array().expect("codes");
    assert_eq!(codes.len(), FaultCode::ALL.len());
    assert_eq!(kind["example"]["errors"][0]["pointer"], "/workings");
    let page = send(
        ("GET", "/problems/validation_failed"),
        &[("accept", "text/html")],
        "",
    )
    .await;
    for code in FaultCode::ALL {
        assert!(page.text().contains(code.as_str()), "{}", code.as_str());
    }
}

#[tokio::test]
async fn an_unknown_problem_and_an_unknown_form_are_refused() {
    let reply = send(("GET", "/problems/nothing"), &[], "").await;
    assert_eq!(
        (reply.status, &reply.json()["code"]),
        (404, &"not_found".into())
    );
    for path in ["/problems", "/problems/internal"] {
        let reply = send(("GET", path), &[("accept", "image/png")], "").await;
        assert_eq!(
            (reply.status, &reply.json()["code"]),
            (406, &"not_acceptable".into())
        );
    }
}

#[tokio::test]
async fn the_type_of_a_problem_leads_to_its_page() {
    let problem = send(("GET", "/nowhere"), &[], "").await.json();
    let page = send(("GET", problem["type"].as_str().expect("a path")), &[], "").await;
    assert_eq!(page.json()["code"], problem["code"]);
}

#[tokio::test]
async fn the_index_lists_every_calculation_as_it_is() {
    let index = send(("GET", "/v1"), &[], "").await.json();
    let listed = index["calculations"].as_array().expect("a list");
    assert_eq!(listed.len(), REGISTRY.len());
    for (entry, listed) in REGISTRY.iter().zip(listed) {
        assert_eq!(listed["name"], entry.name);
        assert_eq!(listed["path"], entry.path());
        assert_eq!(listed["summary"], entry.summary);
        assert_eq!(listed["flat"], entry.is_flat());
        let refused = send(("DELETE", entry.path()), &[], "").await;
        let methods: Vec<_> = refused.header("allow").split(", ").collect();
        assert_eq!(
            listed["methods"],
            serde_json::json!(methods),
            "{}",
            entry.name
        );
    }
}

#[tokio::test]
async fn the_catalogue_and_the_link_header_lead_to_what_there_is() {
    let reply = send(("GET", "/.well-known/api-catalog"), &[], "").await;
    assert!(
        reply
            .header("content-type")
            .starts_with("application/linkset+json")
    );
    let links = reply.json()["linkset"][0].clone();
    for relation in ["service-desc", "service-doc", "status"] {
        for link in links[relation].as_array().expect(relation) {
            let target = send(("GET", link["href"].as_str().expect("a path")), &[], "").await;
            assert_eq!(target.status, 200, "{link}");
            let media_type = link["type"].as_str().expect("a type");
            assert!(
                target.header("content-type").starts_with(media_type),
                "{link}"
            );
        }
    }
    for path in ["/", "/v1/sources", "/nothing"] {
        let reply = send(("HEAD", path), &[], "").await;
        for relation in ["service-desc", "service-doc", "status"] {
            assert!(
                reply
                    .header("link")
                    .contains(&format!("rel=\"{relation}\"")),
                "{path}"
            );
        }
    }
}

/// What a browser would refuse under the policy: a script or a style from elsewhere, a script
/// inside the page.
#[tokio::test]
async fn the_interactive_documentation_works_under_its_policy() {
    let page = send(("GET", "/docs/"), &[], "").await;
    let policy = page.header("content-security-policy");
    for part in [
        "default-src 'self'",
        "style-src 'self' 'unsafe-inline'",
        "img-src 'self' data:",
    ] {
        assert!(policy.contains(part), "{policy}");
    }
    assert!(!policy.contains("script-src") && !policy.contains("unsafe-eval"));
    let scripts = page.text().split("<script").skip(1);
    for script in scripts {
        let (attributes, inside) = script.split_once('>').expect("a tag");
        assert!(attributes.contains("src=\"./"), "{attributes}");
        assert!(inside.trim_start().starts_with("</script>"), "{inside}");
    }
    for source in page.text().split("src=\"./").skip(1) {
        let file = source.split('"').next().expect("a name");
        let reply = send(("GET", &format!("/docs/{file}")), &[], "").await;
        assert_eq!(reply.status, 200, "{file}");
    }
    let start = send(("GET", "/docs/swagger-initializer.js"), &[], "").await;
    assert!(start.text().contains("/openapi.json"));
    let missing = send(("GET", "/docs/nothing.js"), &[], "").await;
    assert_eq!(
        (missing.status, &missing.json()["code"]),
        (404, &"not_found".into())
    );
    let plain = send(("GET", "/v1/sources"), &[], "").await;
    assert_eq!(
        plain.header("content-security-policy"),
        "default-src 'none'; frame-ancestors 'none'"
    );
}
