mod common;
#[test]
fn show() {
    for (u, ws) in [
        (
            common::cafe(),
            vec![
                vec!["change:membrane", "change:carbon"],
                vec!["sanitise"],
                vec!["lay_up"],
                vec!["descale"],
                vec!["commission"],
                vec!["change:taste"],
            ],
        ),
        (
            common::glasshouse(),
            vec![
                vec!["change:sediment"],
                vec!["change:carbon"],
                vec!["change:membrane-2", "inspect:sediment"],
                vec!["sanitise"],
                vec!["lay_up"],
                vec!["clean"],
            ],
        ),
    ] {
        for w in ws {
            let c = service::plan(&u, &common::work(&w), &service::Site::default()).unwrap();
            println!("{w:?}");
            for f in service::checker::check(&u, &c) {
                println!("{f:?}");
            }
        }
    }
}
