//! Two hands reaching for one chair.

use crate::support::*;

#[actix_web::test]
async fn of_two_who_claim_the_last_seat_at_once_exactly_one_gets_it() {
    let app = TestApp::with_day().await;
    for round in 0..1000 {
        let (one, other) = (claim("maren", "peel"), claim("osk", "peel"));
        let (maren, osk) = futures_util::future::join(app.order(one), app.order(other)).await;
        let (winner, loser, name) = match (maren.status, osk.status) {
            (200, 409) => ("maren", osk, "Maren"),
            (409, 200) => ("osk", maren, "Osk"),
            both => panic!("round {round}: {both:?}, {maren:?}, {osk:?}"),
        };
        assert_eq!(loser.code(), "seat-taken", "round {round}");
        assert!(loser.is_clear_problem(), "{loser:?}");
        let said = loser.body.to_string();
        assert!(
            said.contains(name),
            "round {round}: nobody says who sits there: {said}"
        );
        let view = app.view().await;
        let seated = view["view"]["stations"]["peel"]["seated"]
            .as_object()
            .unwrap();
        assert_eq!(seated.keys().collect::<Vec<_>>(), [winner], "round {round}");
        assert_eq!(app.order(leave(winner)).await.status, 200, "round {round}");
    }
}
