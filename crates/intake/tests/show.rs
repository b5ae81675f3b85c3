mod common;
use intake::Options;
#[test]
fn show() {
    let only = std::env::var("ONLY").unwrap_or_default();
    let mut files: Vec<_> = std::fs::read_dir("/tmp/logs")
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    files.sort();
    for path in files {
        if !path.to_string_lossy().contains(&only) {
            continue;
        }
        let unit = common::potting_shed();
        let bytes = std::fs::read(&path).unwrap();
        println!("\n=== {}", path.display());
        let log = match intake::read(&bytes, &Options::new(&unit)) {
            Ok(l) => l,
            Err(e) => {
                println!("ERROR {e}");
                continue;
            }
        };
        println!("{}", log.habits.sentences().join(" "));
        for c in common::columns(&log) {
            println!("   {} -> {} [{}]", c.0, c.1, c.2);
        }
        for i in &log.ignored {
            println!("   ignored {} : {}", i.heading, i.reason);
        }
        for a in &log.assumed {
            println!("   assumed {a}");
        }
        for s in &log.set_aside {
            println!(
                "   aside {} {} | {}",
                s.line,
                s.reason,
                s.text.chars().take(40).collect::<String>()
            );
        }
        for n in &log.cell_notes {
            println!("   note {} {} {} | {}", n.line, n.field, n.text, n.reason);
        }
        for e in &log.events {
            println!(
                "   event {:?} {:?} {} {}",
                e.line,
                e.kind,
                e.part.as_deref().unwrap_or("-"),
                e.at
            );
        }
        println!("   n {}", log.readings.len());
        for r in log.readings.iter().take(3) {
            print!("   {} ", r.at);
            for f in reading::Field::ALL {
                if let Some(v) = r.get(*f) {
                    print!("{}={v:.4} ", f.name());
                }
            }
            println!(
                "{:?} sd {} by {} note {}",
                r.pressure_after_kpa, r.meter_factor_sd, r.by, r.note
            );
        }
    }
}
