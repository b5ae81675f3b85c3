mod common;
use common::random::{Draw, wild,tame};
use unit::*;
#[test]
fn dbg() {
    let mut w = Workspace::new();
    let mut c = std::collections::BTreeMap::new();
    let t0=std::time::Instant::now();
    for seed in 0..40000u64 {
        let (unit, setting, state) = if seed%2==0 {wild(&mut Draw(seed*7919))} else {tame(&mut Draw(seed*7919))};
        let t=std::time::Instant::now();
        let r = Model::new(&unit, if seed%4<2 {Segments::FAST} else {Segments::default()}).and_then(|m| { let p = m.in_state(&state)?; m.solve(&p, &setting, &mut w)});
        let el=t.elapsed().as_secs_f64();
        if el>0.02 { println!("slow {seed} {el}"); }
        let k = match r { Ok(_) => "ok".to_owned(), Err(e) => { let s=format!("{e:?}"); if s.contains("Unsolved") {println!("{seed} {s}");} s.split(|c:char| !c.is_alphanumeric()).next().unwrap().to_owned() } };
        *c.entry((seed%2,k)).or_insert(0)+=1;
    }
    println!("{c:?} {:?}",t0.elapsed());
}
