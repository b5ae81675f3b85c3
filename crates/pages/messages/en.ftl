# What stands on the pages, in English. A key here is a key in every language; a test says what is missing or unused.

## frame
skip = Skip to the content
nav-main = Main pages
nav-above = Where this page belongs
nav-due = Due
nav-sites = Sites
nav-customers = Customers
caution = Water under pressure, electricity beside water, chemicals and drinking water can hurt people. Saltmark computes and keeps records; local plumbing and electrical codes and a licensed person's word come first.
waiting-none = Working without the server. Everything has been sent.
waiting =
    { $n ->
        [one] One entry is waiting to be sent.
        *[other] { $n } entries are waiting to be sent.
    }
to-due = To what is due
not-found-title = Not found
not-found = There is nothing at this address. The entry may not have arrived on this device yet.
not-that-way = This can't be done at this address.
refused-title = Not taken
refused-origin = This form did not come from Saltmark's own pages, so nothing was written down. Open the page here and send it again.
refused-no-form = What was sent is not a form, so nothing was written down.
choose = Choose
optional = (if known)
save = Save
name = Name
note = Remark
reason = Why
when = When
day = Day
wrong = This reads { $read }. Accepted: { $accepted }.
wrong-title =
    { $n ->
        [one] One field needs another look; nothing is saved yet
        *[other] { $n } fields need another look; nothing is saved yet
    }
wrong-empty = This can't be empty.
wrong-long = This is too long, or holds characters that can't be printed. Accepted: up to 4000 characters, a name up to 80.
wrong-choice = This is not one of the choices.
wrong-future = This lies in the future. Accepted: a time until now.
wrong-nothing-read = Nothing was read. Accepted: at least one value, or a remark.
accepted-time = a day and a time such as 2025-01-14T09:20
percent = { $n } %
list = { $first } and { $last }
date = { $day } { $month } { $year }
month-1 = January
month-2 = February
month-3 = March
month-4 = April
month-5 = May
month-6 = June
month-7 = July
month-8 = August
month-9 = September
month-10 = October
month-11 = November
month-12 = December
describe-anew = Describe it anew

## quantities
wrong-comma = This reads { $read }, which can mean { $decimal } or { $grouped }. Accepted: { $decimal } with a point, or { $grouped } without a comma.
wrong-two-units = This reads { $read }, and { $unit } can mean { $first } or { $second }. Accepted: either of them, written out.
wrong-no-factor = This reads { $read }. A meter's ppm depends on its factor: it is { $half } µS/cm with the usual factor 0.5, { $seven } µS/cm with 0.7. Accepted: { $read } @0.5 or { $read } @0.7.
accepted-range = { $lowest } to { $highest }
accepted-yes-or-no = yes, no, or nothing
accepted-flow = L/h, L/min, mL/min, L/d, m3/h, m3/d, gpm, gph, gpd, or a timed fill such as 500 mL in 71 s
accepted-volume = L, mL, m3, gal (US), imp gal, ft3
accepted-pressure = kPa, bar, mbar, MPa, psi, kg/cm2, atm, m or ft of water, as the gauge shows it
accepted-temperature = C, F, K
accepted-conductivity = uS/cm, mS/cm, S/m, MOhm cm, or 350 ppm @0.5
accepted-salt = mg/L, g/L, or what a meter shows with its factor, such as 350 ppm @0.5
accepted-concentration = mg/L, ug/L, g/L, ppm, ppb, mmol/L, meq/L
accepted-hardness = mg/L as CaCO3, ppm, gpg, dH, fH, Clark, mmol/L, meq/L
accepted-duration = min, s, h, d
accepted-turbidity = NTU, FNU
accepted-number = a plain number
accepted-factor = a meter's factor from 0.3 to 1, usually 0.5 or 0.7
accepted-gauge = what the gauge shows (absolute less about 101 kPa)
accepted-one-value = one number alone, not a bound or an estimate
accepted-possible = a value that is possible
accepted-quantity = { $units }; { $range }
accepted-above-nothing = above 0 and at most { $highest }
accepted-fraction = a fraction such as 0.25, or %
accepted-area = m2, cm2, ft2, in2
accepted-length = m, cm, mm, in, ft
accepted-silt = %/min
accepted-capacity = eq, meq, grains or g as CaCO3; of a resin eq/L, meq/mL, kgr/ft3
accepted-flag = yes or no
accepted-date = a date such as 2025-01-14
accepted-zone = a time zone's name, such as Europe/Lisbon or UTC
accepted-ids = names that each part has for itself
accepted-membranes = one to eight membranes
wrong-nothing = Nothing stands here. Accepted: { $accepted }.
wrong-colder = The coldest feed can't be warmer than the warmest.

## who
who-nobody = Who is here?
who-title = Who is at this device
who-name = Your name
who-hint = It stands beside everything that is written down on this device.

## due
due-headline =
    { $now ->
        [0] Nothing is due now
        *[other] { $now ->
            [one] One unit needs a visit now
            *[other] { $now } units need a visit now
        }
    }{ $soon ->
        [0] , and nothing within thirty days.
        [one] , one more within thirty days.
        *[other] , { $soon } more within thirty days.
    } { $all ->
        [one] One unit is
        *[other] { $all } units are
    } in the round.
due-empty = There is no unit in this ledger yet.
due-now-title = Due now
due-soon-title = Within thirty days
due-later-title = Within three months
due-rest-title = Later
due-waiting-title = Not worked out yet
due-waiting = Open a unit to have it worked out at once, or look at this page again in a moment.
due-more =
    { $n ->
        [one] One more; search for its name.
        *[other] { $n } more; search for their names.
    }
due-stale = Something was written down since; this is worked out anew.
due-nothing-known = Nothing says when a part will be due.
due-title = When each part is due
due-now =
    { $part } { $n ->
        [one] is
        *[other] are
    } due now, for { $reason }.
due-never =
    { $part } { $n ->
        [one] is
        *[other] are
    } not due within ten years.
due-on =
    { $part } { $n ->
        [one] is
        *[other] are
    } due on { $middle }, for { $reason }.
due-until =
    { $part } { $n ->
        [one] is
        *[other] are
    } due between now and { $last }, most likely { $middle }, for { $reason }.
due-between =
    { $part } { $n ->
        [one] is
        *[other] are
    } due between { $first } and { $last }, most likely { $middle }, for { $reason }.
beyond-ten-years = a day beyond ten years
limit-age = age
limit-volume = the water treated
limit-pressure-drop = pressure drop
limit-free-chlorine-out = the chlorine that passes
limit-permeate-flow-drop = lost permeate flow
limit-salt-passage-rise = salt passage
limit-pressure-drop-rise = the drop along the membranes
limit-need = what is asked of the unit
doubtful =
    { $n ->
        [one] One reading is
        *[other] { $n } readings are
    } at odds with the others.
reading-old = The last reading is { $n } days old.
reading-none = There is no reading yet.
search = Search by name or place
search-go = Search
search-found =
    { $n ->
        [0] Nothing is
        *[other] { $n ->
            [one] One unit is
            *[other] { $n } units are
        }
    } called “{ $words }” or stands there.
search-all = Show all
came-in-title = What came in during the last week
came-in-nothing = Nothing.

## parts
the-part = The { $small }
part-sediment = Sediment filter
part-carbon = Carbon filter
part-softener = Softener
part-antiscalant = Antiscalant dosing
part-pump = Booster pump
part-regulator = Pressure regulator
part-membrane = Membrane
part-membranes = Membranes
part-mixed-bed = Mixed bed
part-polish-carbon = Carbon after the membranes
part-remineraliser = Remineraliser
part-uv = UV lamp
part-restrictor = Restrictor
instrument-feed-meter = Meter for the feed
instrument-permeate-meter = Meter for the permeate
instrument-gauges = Pressure gauges
instrument-thermometer = Thermometer
instrument-bucket = Bucket and watch

## verdict
verdict-title = Verdict
verdict-less = On { $to } the unit made { $percent } less water than on { $from }, with its membranes new.
verdict-more = On { $to } the unit made { $percent } more water than on { $from }, with its membranes new.
verdict-same = On { $to } the unit made as much water as on { $from }, with its membranes new.
verdict-causes = Each on its own: { $causes }.
verdict-no-cause = Nothing has changed beyond what the instruments can tell.
verdict-unknown = There are not enough readings to say what has changed.
verdict-membranes = At equal conditions the membranes let through { $what }, against when new.
verdict-as-new = At equal conditions the membranes are as they were when new.
let-water-less = { $percent } less water
let-water-more = { $percent } more water
let-water-times = { $times } times the water
let-salt-less = { $percent } less salt
let-salt-more = { $percent } more salt
let-salt-times = { $times } times the salt
cause-less = { $cause } { $percent } less
cause-more = { $cause } { $percent } more
cause-temperature-less = colder water
cause-temperature-more = warmer water
cause-inlet-pressure-less = lower supply pressure
cause-inlet-pressure-more = higher supply pressure
cause-prefilters-less = the filters before the membranes
cause-prefilters-more = freer filters before the membranes
cause-pump-less = less lift from the pump
cause-pump-more = more lift from the pump
cause-permeate-back-pressure-less = pressure on the permeate line
cause-permeate-back-pressure-more = less pressure on the permeate line
cause-osmotic-pressure-less = saltier water at the membranes
cause-osmotic-pressure-more = fresher water at the membranes
cause-membrane-less = the membranes
cause-membrane-more = the membranes
advice-title = What to know and to do
advice-chlorine = Chlorine has been passing the carbon since { $day } (over { $limit }): change the carbon first, test after it, and only then put in new membranes, or they are ruined like the old ones.
advice-looks-scale = Less water and more salt at equal conditions is what scale does: look at the tail element and at the recovery, and consider descaling before replacing.
advice-looks-fouling-or-scale = Less water and somewhat more salt at equal conditions: fouling or the beginning of scale; a cleaning tells which.
advice-looks-fouling = Less water at an unchanged salt passage is what fouling does: look at the prefilters, and consider cleaning before replacing.
advice-looks-oxidised = The flow is as when new while salt passage has multiplied: with chlorine passing, the membranes are being oxidised, which no cleaning mends.
advice-looks-leak-or-oxidised = More salt at an unchanged flow is what a leaking O-ring or oxidised membranes do: probe each element's permeate with the meter, and test for chlorine after the carbon.
advice-load = { $part }: it takes { $drop }, give or take { $give }, of { $limit } allowed; clean it takes { $clean }.
advice-load-unclear = { $part }: how loaded it is can't be told from these gauges. Its drop reads { $drop }, give or take { $give }; clean it takes { $clean }, and { $limit } is the limit.
advice-load-unknown = { $part }: how loaded it is can't be told. Since it was new there is no reading with a gauge before it and one after it, and both flows.
advice-left-out =
    { $n ->
        [one] One reading is at odds with the others and left out: look at it in the list of doubts.
        *[other] { $n } readings are at odds with the others and left out: look at them in the list of doubts.
    }
advice-old = The last usable reading is { $days } days old: take a new one before deciding anything.
advice-nothing = Nothing needs doing before the next reading.
litres-title = Where the litres went
litres-caption = What each cause alone did to the permeate flow
litres-cause = Cause
litres-share = Change
litres-give = Give or take
litres-total = All together
give = ± { $percent }

## unit
unit-retired = Out of the round since { $day }.
to-readings = Take readings
to-event = Something was done
to-note = Write a remark
to-log = Log
to-water = Water
to-unit = To the unit
to-correct = Correct it
doubts-title = In doubt, and left out
drawing-title = The unit as built
drawing-about = In the order in which the water flows. “Expected” is what the model computes for the conditions of { $day }, with the membranes as they stand; “read” is what was read then.
drawing-no-model = In the order in which the water flows. A reading with temperature and inlet pressure, and a known feed, are needed to compute what stands at each point.
drawing-feed = Feed
drawing-valve = With a shut-off valve
drawing-pump = Adds up to { $pressure } at no flow
drawing-after = After it:
drawing-series = In series: the concentrate of one feeds the next
drawing-parallel = Side by side
drawing-at-membranes = Before them:
drawing-element = Makes { $flow } with { $salt } of salt
drawing-permeate-side = To the tank
drawing-concentrate-side = To drain
drawing-permeate = Permeate
drawing-check-valve = With a check valve
drawing-tank-open = Open tank
drawing-tank-pressurised = Pressurised tank
drawing-no-tank = Point of use
drawing-shutoff-float = A float stops the unit
drawing-shutoff-pressure = Back pressure stops the unit
drawing-shutoff-none = Nothing stops the unit
drawing-flush-valve = With a flush valve round it
drawing-drain = Drain
drawing-recovery = { $percent } of the feed becomes permeate
drawing-both = { $expected } expected, { $read } read
drawing-expected = { $expected } expected
life-used = { $percent } of its life used
life-now = due now
life-until = due { $day }
history-title = History
history-none = There is no reading yet.
history-about = Every reading carried over to equal conditions, so that the weather and the supply are taken out and what is left is the membranes.
history-alt = Permeate flow and salt passage of { $name } over time, in percent of when new, with limits and forecast. The last readings stand in the table below.
history-caption = The last readings at equal conditions, against when new
history-flow = Permeate flow
history-salt = Salt passage
history-doubts = In doubt
of-new = { $percent } ± { $give }
missing = Missing:
chart-flow = Permeate flow at equal conditions
chart-salt = Salt passage at equal conditions
chart-drop = Pressure drop along the membranes at equal conditions
chart-of-new = % of when new
chart-limit = limit
chart-due = membranes due
chart-months = Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec
chart-day = %1 %2 %3
chart-day-of-month = %1 %2
chart-decimal = .
chart-no-number = no number
chart-as-of = as of %1
chart-one-reading = %1 reading
chart-readings = %1 readings
chart-one-doubt = %1 doubt
chart-doubts = %1 doubts
chart-one-change = %1 change
chart-changes = %1 changes
chart-one-panel = %1 panel
chart-panels = %1 panels
chart-one-line = %1 line
chart-lines = %1 lines
chart-reading = reading
chart-reading-with-bar = reading (bar: 8 in 10)
chart-doubt = doubt
chart-doubt-of = doubt: %1
chart-baseline = baseline
chart-the-limit = limit
chart-forecast = forecast
chart-forecast-key = forecast (shading: 8 in 10)
chart-band-key = shading along a line: 8 in 10
chart-is-due = due
chart-due-key = due (8 in 10; diamond: most likely)
chart-change = change
chart-no-readings = no readings yet
chart-nothing = Nothing to show yet.
chart-line-number = line %1
chart-due-range = %1 – %2, most likely %3
chart-due-from = from %1, most likely %2
chart-due-long-after = from %1, most likely long after
chart-upright-lines = Upright lines without a word: %1.
chart-and-more = %1; and %2 more
chart-outside-dates = %1 outside these dates.
chart-left-out-no-number = %1 left out: no number.
chart-left-out-logarithm = %1 left out: zero or below has no place on a logarithmic scale.
chart-in-columns = %1 in %2 columns of the picture; each shows its least and its greatest.
chart-doubts-in-columns = %1; each column of the picture shows its least and its greatest.
chart-beyond-one = %1 beyond the scale, at its edge with its arrow.
chart-beyond = %1 beyond the scale, at its edge with their arrow.
chart-limit-not-shown = %1 is not in the picture: no number that the scale can show.
chart-dashed-line = dashed line: %1
chart-dashed-line-of = Dashed line: %1
chart-upright-line = Upright line: %1
chart-outside = Outside the picture: %1
chart-shaded = Shaded: %1
chart-one-left-out = 1 value is left out where there is no number that the axes can show.
chart-left-out = %1 values are left out where there is no number that the axes can show.
chart-over-time = %1 over time, %2 to %3, as of %4.
chart-told-changes = Changes: %1.
chart-told-range = from %1 to %2
chart-told-latest = the latest %1 on %2
chart-told-baseline = Baseline %1 from %2 to %3.
chart-told-limit = Limit %1: %2.
chart-told-forecast = Forecast for %1: %2, eight in ten between %3 and %4.
chart-told-due = %1: eight in ten between %2 and %3, most likely %4.
chart-beyond-forecast = beyond the forecast
chart-against = %1 against %2, %3.
chart-told-nothing = %1: nothing to show.
chart-told-point = %1: %2 at %3.
chart-told-line = %1: from %2 at %3 to %4 at %5.
chart-told-mark = At %1: %2.
chart-told-shaded = Shaded, %1: %2.
chart-side-between = %1 %2 to %3
chart-side-from = %1 from %2
chart-side-up-to = %1 up to %2

## readings
readings-title = Take readings
readings-about = In the order in which one walks round the unit. Leave empty what you can't read. Any unit of measure will do: 58 psi, 4 bar, 500 mL in 71 s.
zone-hint = In the unit's time zone ({ $zone }).
last-value = Last: { $value }, { $day }
fill-hint = A flow, or a timed fill such as 500 mL in 71 s.
more-to-read = More to read
observed-title = What was seen or complained of
save-readings = Save and see the verdict
stopwatch-start = Start the watch
stopwatch-stop = Bucket is full: stop
stopwatch-again = Once more
spot-pressure-after = Pressure after: { $part }
spot-chlorine-after = Free chlorine after: { $part }
spot-conductivity-after = Conductivity after: { $part }
spot-element = Conductivity of the permeate of: { $part }
saved-title = Reading saved
saved = Saved.
saved-right = Is that right?
saved-as-it-stands = If it is right, leave it: it stays as it is, and is left out of the verdict until other readings agree.
saved-missing = For the whole verdict it lacks: { $fields }.
doubt-suggested = { $field } reads { $read }, which does not go with the other readings. { $suggested } would.
doubt-plain = { $field } reads { $read }, which does not go with the other readings.
doubt-correct = Correct it to { $suggested }

## what is wrong
trouble-title = What is wrong
trouble-about = First what the customer can say on the telephone: it often saves the drive. Then one thing at a time, the most telling first. Any question can be skipped.
trouble-from = Begin with a reading
trouble-from-last = The last one, of { $day }
trouble-from-none = None: nothing has been read yet
trouble-not-known = Not known
trouble-begin = Go on to what it may be
trouble-no-model = What is wrong can't be worked out for this unit, since its own data can't be computed.
trouble-less = { $percent } less
trouble-more = { $percent } more
trouble-the-same = as much
trouble-made = It makes { $made } than at its baseline.
trouble-made-explained = It makes { $made } than at its baseline; { $explained }.
trouble-explained = Against its baseline { $explained }.
trouble-condition = { $condition } on its own makes { $much }
trouble-condition-temperature-less = colder water
trouble-condition-temperature-more = warmer water
trouble-condition-inlet-pressure-less = lower supply pressure
trouble-condition-inlet-pressure-more = higher supply pressure
trouble-condition-feed-less = saltier feed
trouble-condition-feed-more = less salty feed
trouble-conditions-nothing = today's temperature, supply pressure and feed change nothing of it
trouble-conditions-together = { $each }, and all together { $all }
trouble-verdict = Most likely: { $first } ({ $chance }).
trouble-verdict-open = No cause stands out yet; the first of several is: { $first } ({ $chance }).
trouble-verdict-two = Most likely: { $first } ({ $chance }). After that: { $second } ({ $other }).
trouble-next-title = Next
trouble-minutes = About { $n } minutes.
trouble-to-expect = What to expect:
trouble-expected = { $value } if { $cause }
trouble-safe-way = The safe way to it, step by step
trouble-wait = { $n } min
trouble-see = See:
trouble-left-out = Another test would tell more, and is left out: at this unit no order of steps gets safely at it ({ $part }).
trouble-permeate-line = permeate line
trouble-go-on = Go on
trouble-skip = Skip
trouble-skipped = skipped
trouble-end-title = What to do
trouble-beyond-doubt = One cause is beyond doubt.
trouble-nothing-more = Nothing more that can be done here would tell it any better.
trouble-unsure = No cause is likely enough yet to change a part for. This is about the first of them:
trouble-cause = Cause
trouble-do = What to do:
trouble-part = Part
trouble-urgency = How soon
trouble-urgency-none = No hurry
trouble-urgency-next-visit = At the next visit
trouble-urgency-soon = Within some weeks
trouble-urgency-now = Now
trouble-left = If it is left:
trouble-to-work = Do the work
trouble-causes-title = What it may be
trouble-rest = All other causes together: { $chance }.
trouble-chance = Its chance: { $chance }.
trouble-pair = Two at once may explain it better: { $first }, and { $second } ({ $chance }).
trouble-for = Speaks for it
trouble-against = Speaks against it
trouble-no-reasons = Nothing that is known speaks for it or against it yet; it is as likely as such causes are.
trouble-fact-expected = { $field }: { $read } read, { $expected } to expect with this cause.
trouble-fact-read = { $field }: { $read } read.
trouble-fact-observed = { $what }: yes.
trouble-fact-denied = { $what }: no.
trouble-fact-looked = { $question } { $answer }.
trouble-fact-again = What was read again with another instrument, or with the permeate line off.
trouble-fact-no-water = It gives no water.
trouble-fact-circumstances = What is known of the unit: age, forecast, feed, how long it had been running.
trouble-times-more = { $times } times as likely with this cause as without it.
trouble-times-less = { $times } times less likely with this cause than without it.
trouble-times-most = More than { $times } times as likely with this cause as without it.
trouble-times-least = More than { $times } times less likely with this cause than without it.
trouble-said-title = What was said and read
trouble-change = Change
trouble-change-label = Change: { $name }
trouble-anew = Begin anew
trouble-strange = Left out: this unit has no question { $name }.
trouble-baseline-impossible = The baseline of { $day } can't be what this unit made, since by its own pressures no water would flow. It is left out.
trouble-baseline-odd = The baseline of { $day } is at odds with what the unit is rated for. Check it, or the unit's data.
trouble-keep-title = Keep it
trouble-keep-about = What was read becomes an ordinary reading of the unit; what was seen and said stands in its remark.
trouble-keep = Keep what was read
trouble-kept = Kept.
trouble-to-kept = To the entry
trouble-note = What is wrong? { $verdict }
trouble-short-again = Once more, otherwise measured: { $what }
trouble-short-free = Permeate flow with the line off
yes = Yes
no = No
trouble-value-flow = What is the flow?
trouble-value-pressure = What does the gauge show?
trouble-value-temperature = How warm is it?
trouble-value-concentration = How much is it?
trouble-value-hardness = How hard is it?
trouble-value-conductivity = What does the meter show?
chance-certain = as good as certain
chance-very-likely = very likely
chance-likely = likely
chance-even = about as likely as not
chance-unlikely = unlikely
chance-very-unlikely = very unlikely
chance-hardly = hardly possible
trouble-how-feed-temperature = Hold a thermometer into the running feed.
trouble-how-inlet-pressure = Read a gauge before the first stage while it runs.
trouble-how-membrane-pressure = Read a gauge at the feed of the first membrane while it runs.
trouble-how-concentrate-pressure = Read a gauge on the concentrate before the restrictor while it runs.
trouble-how-permeate-pressure = Read a gauge on the permeate line while it runs.
trouble-how-pressure-after = Read a gauge after this part while it runs: { $part }.
trouble-how-permeate-flow = Time the permeate into a measuring jug.
trouble-how-concentrate-flow = Time the concentrate into a bucket at the drain.
trouble-how-feed-conductivity = Measure the conductivity of the feed.
trouble-how-permeate-conductivity = Measure the conductivity of the permeate before any polishing.
trouble-how-element-permeate-conductivity = Measure the conductivity of the permeate of this one alone, and of the whole with the same meter: { $part }.
trouble-how-free-chlorine-out = Take water after the last carbon stage and measure its free chlorine within a minute.
trouble-how-hardness-out = Take water after the softener and measure its hardness.
trouble-how-conductivity-after = Measure the conductivity of the water after this part: { $part }.
trouble-how-permeate-flow-free = Take the permeate line off after the membranes, let it run free for a few minutes and time the permeate again.
trouble-how-flush-valve = See whether the flush valve round the restrictor is shut tight.
trouble-how-restrictor = Take the restrictor out and look whether it is free of scale.
trouble-how-cartridge = Open the housing and look at the cartridge: { $part }.
trouble-how-run-half-an-hour = Let it run half an hour to drain and read the permeate's conductivity again.
trouble-how-again-flow = Time it once more, with another vessel and a longer fill: { $what }.
trouble-how-again-pressure = Read it once more with another gauge: { $what }.
trouble-how-again-temperature = Read it once more with another thermometer: { $what }.
trouble-how-again-conductivity = Measure it once more with another meter, or check this one in a fresh standard first: { $what }.
trouble-ask-flush-valve = Is the flush valve shut tight?
trouble-ask-restrictor = Is there scale in the restrictor?
trouble-ask-cartridge = Is the cartridge slimed or packed? ({ $part })
trouble-ask-run-half-an-hour = Has the permeate's conductivity fallen by a fifth or more?
trouble-ask-observed-runs-to-drain-when-full = With the tank full, does water still run to the drain?
trouble-ask-observed-no-water = Does any water come at all?
trouble-ask-observed-pump-silent = Does the pump hum when the tank is not full?
trouble-ask-observed-pump-short-cycles = Does the pump start and stop every few moments?
trouble-ask-observed-leak = Is there water where none should be?
trouble-ask-observed-tank-never-full = Is the tank ever full?
trouble-ask-observed-tank-delivers-little = Does a full tank give only little before it is empty?
trouble-ask-observed-uses-more = Is more water drawn than before?
trouble-ask-observed-taste-or-smell = Does the water taste or smell?
trouble-ask-observed-brown-water = Is the water brown?
trouble-ask-observed-just-started = Has it stood still until just now?
trouble-ask-observed-after-work = Has anybody worked on the unit since it was last right?
trouble-means-free-chlorine-out = More than the limit means spent carbon; none speaks against it.
trouble-means-hardness-out = More than a trace means that the softener is exhausted.
trouble-means-conductivity-after = Nearly as much as before it means that the resin is used up; a small part of it speaks against it.
trouble-means-flush-valve = Open or weeping: that is why too much runs to drain. Shut: the restrictor itself is the suspect.
trouble-means-restrictor = Scale in it means a blocked restrictor; a clean one speaks against it.
trouble-means-cartridge = Slimed or packed: it is the blockage. Clean: look further down the line.
trouble-means-run-half-an-hour = If it falls, it was the standstill; if it stays, it is a fault.
trouble-means-observed-runs-to-drain-when-full = Yes points to a leaking shut-off or check valve; no speaks against it.
trouble-means-observed-no-water = If not: look at tap, plug and switches first.
trouble-means-observed-pump-silent = If not: look at tap, plug and switches first.
trouble-means-observed-pump-short-cycles = Yes points to a leaking valve, a tank without air or a starved pump.
trouble-means-observed-leak = Yes points to a seal or a tube, the more so after work.
trouble-means-observed-tank-never-full = If not: too little is made, or more is drawn than before.
trouble-means-observed-tank-delivers-little = Yes points to a tank that has lost its air.
trouble-means-observed-uses-more = Yes means that the unit may be sound and the demand has grown.
trouble-means-observed-taste-or-smell = Yes points to spent carbon, or to feed that gets past the membranes.
trouble-means-observed-brown-water = Yes points to the filters before the membranes, or to the supply.
trouble-means-observed-just-started = Yes: the first water after a standstill is salty, and it passes.
trouble-means-observed-after-work = Yes points to a seal or a tube since that work.
trouble-mind-gauge = Caution: where a gauge has to be fitted the line must be without pressure first, and the pump unplugged. Follow the job card.
trouble-mind-permeate-line = Caution: the permeate line of a full or pressurised tank is under pressure. Keep the water off anything electrical, and discard it: it is not for drinking.
trouble-mind-housing = Caution: never open it under pressure. Close the inlet, unplug the pump and relieve the pressure first.
trouble-mind-element-permeate = Caution: where the permeate tubes are joined they must be taken off one at a time, by the safe way. Rinse the probe: permeate may be drunk.
trouble-mind-electricity = Caution: water and electricity. Nobody opens the pump's box to find out.
trouble-mind-reagent = Caution: discard the sample, reagent and all.
trouble-is-sound = nothing is wrong with the unit
trouble-do-sound = Change nothing.
trouble-left-sound = It goes on as it is.
trouble-is-inlet-pressure-low = the supply pressure is low
trouble-do-inlet-pressure-low = Look for a tap half shut, a choked strainer or a supply that others draw on, and think of a booster pump.
trouble-left-inlet-pressure-low = It makes too little, and saltier water.
trouble-is-sediment-blocked = the sediment filter is blocked
trouble-do-sediment-blocked = Change the sediment cartridge, or wash a pleated one.
trouble-left-sediment-blocked = Flow falls further, and a pump may run dry of feed.
trouble-is-carbon-blocked = the carbon filter is blocked
trouble-do-carbon-blocked = Change the carbon cartridge and rinse the new one to drain.
trouble-left-carbon-blocked = Flow falls further, and growth goes on in it.
trouble-is-carbon-spent = the carbon is spent and lets chlorine through
trouble-do-carbon-spent = Change the carbon before the unit runs on.
trouble-left-carbon-spent = Chlorine destroys the membranes, which cost many times the carbon, and no cleaning brings them back.
trouble-is-pump-weak = the pump is weak
trouble-do-pump-weak = Check the supply voltage and the pump's inlet strainer, then overhaul or change the pump. Electrical work is for those licensed to do it.
trouble-left-pump-weak = It makes too little, and saltier water, until the pump stops.
trouble-is-membrane-fouled = the membrane is fouled
trouble-do-membrane-fouled = Flush, clean at the pH that dissolves what is there, and find out why the filters before it let it through. Else change the element.
trouble-left-membrane-fouled = The deposit packs down and no longer comes off.
trouble-is-membrane-scaled = the membrane is scaled
trouble-do-membrane-scaled = Descale with acid soon, then lower the recovery or treat the hardness. Else change the element.
trouble-left-membrane-scaled = The scale grows on itself and cuts the membrane.
trouble-is-membrane-oxidised = the membrane has been attacked by chlorine
trouble-do-membrane-oxidised = Find how chlorine got there and stop it, then change the membranes. New ones before that are lost too.
trouble-left-membrane-oxidised = The salt goes on rising.
trouble-is-core-seal-leak = an O-ring on the membrane's core tube leaks
trouble-do-core-seal-leak = Change the O-rings of the core tube and look at the tube for scratches.
trouble-left-core-seal-leak = Feed water gets into the permeate, with whatever is in it.
trouble-is-brine-seal-bypass = feed passes round the membrane at its brine seal
trouble-do-brine-seal-bypass = Turn or change the brine seal, its lip against the feed.
trouble-left-brine-seal-bypass = The element is swept too slowly and fouls.
trouble-is-restrictor-blocked = the restrictor is partly blocked
trouble-do-restrictor-blocked = Change the restrictor, or clean the tube, and check the recovery.
trouble-left-restrictor-blocked = The concentrate grows stronger and scales the membranes.
trouble-is-restrictor-worn = the restrictor passes too much, or the flush valve is open
trouble-do-restrictor-worn = Shut the flush valve. If it is shut, change the restrictor or the flush valve.
trouble-left-restrictor-worn = Water is wasted, and the pressure may fall short.
trouble-is-permeate-back-pressure = something holds the permeate line up
trouble-do-permeate-back-pressure = Look at the check valve, the float valve, the tank and whatever the permeate passes.
trouble-left-permeate-back-pressure = It makes too little, and saltier water; permeate pressed backwards can burst a membrane's seams.
trouble-is-feed-changed = the salt content of the feed has changed
trouble-do-feed-changed = Measure the feed, ask the supplier, and check scale and recovery for the new water.
trouble-left-feed-changed = The permeate follows the feed, and a harder feed may scale.
trouble-is-meter-fault = one instrument reads wrong
trouble-do-meter-fault = Check that instrument against a standard or another one before any part is changed.
trouble-left-meter-fault = Parts are changed by a wrong figure.
trouble-is-no-feed = no feed reaches the membranes
trouble-do-no-feed = Look at the stop tap, the solenoid, the low-pressure switch and the plug, in this order.
trouble-left-no-feed = There is no water.
trouble-is-shutoff-leaking = the shut-off or the check valve leaks
trouble-do-shutoff-leaking = Change the check valve first, then the shut-off.
trouble-left-shutoff-leaking = Water runs to the drain day and night, and wears the filters.
trouble-is-tank-precharge-lost = the tank has lost its air
trouble-do-tank-precharge-lost = Empty the tank and pump its air up to its label. A tank that gives water at the air valve is finished.
trouble-left-tank-precharge-lost = The tank gives little, and the unit starts too often.
trouble-is-softener-exhausted = the softener is exhausted
trouble-do-softener-exhausted = Regenerate the softener, and look at its salt and its timer.
trouble-left-softener-exhausted = Hardness goes on to the membranes and scales them.
trouble-is-resin-exhausted = the polishing resin is used up
trouble-do-resin-exhausted = Change the resin.
trouble-left-resin-exhausted = The water after it is no better than the membranes make it, and may be worse.
trouble-is-just-started = the unit has just been started
trouble-do-just-started = Let it run a quarter to half an hour to drain and read again.
trouble-left-just-started = It passes by itself.
trouble-is-seal-after-work = a seal was pinched or a tube swapped in the last work
trouble-do-seal-after-work = Go through what was done last: seals, O-rings and tubes, one by one.
trouble-left-seal-after-work = Feed water gets into the permeate, or water onto the floor.
trouble-is-demand-up = more water is drawn than before
trouble-do-demand-up = Ask what draws more, and work out whether a second element or a larger tank would do.
trouble-left-demand-up = The tank runs empty.

## events
event-title = Something was done
event-caution = Write down here what was done. Before a housing is opened: close the feed, switch the pump off at the mains, let the pressure out, and see on a gauge that it is out.
event-kind = What was done
event-part = To which part or instrument
event-installed = put in
event-changed = changed
event-cleaned = cleaned
event-rinsed = rinsed
event-sanitised = sanitised
event-adjusted = adjusted
event-calibrated = checked against a standard
event-feed-changed = feed changed
event-stopped = taken out of service
event-started = put back in service

## log and entries
log-title = Log of { $name }
log-about =
    { $n ->
        [one] One entry,
        *[other] { $n } entries,
    } newest first. Each opens to what it said first and to the form that corrects it.
log-unreadable =
    { $n ->
        [one] One entry could not be used
        *[other] { $n } entries could not be used
    }
log-pages = Pages of the log
log-newer = Newer
log-older = Older
log-page = Page { $page } of { $pages }
log-by = by { $by }
log-corrected = corrected
said-taken-back = Taken back
said-not-understood = Written by a newer program, and kept
said-reading = Reading: { $values }
said-note = Remark: { $text }
said-water = Water analysed
said-installed = Unit installed
said-described = Unit described anew
said-moved = Unit moved to { $site }
said-retired = Unit taken out of the round
said-visit = Visit: { $text }
said-import = Log { $file } read in, { $n } readings
said-set-aside = Row set aside: { $cells } ({ $reason })
said-attachment = Paper or photograph: { $name }
said-settings = Settings chosen
entry-title = One entry
entry-trail = What it said, from the first
entry-written = Written { $at } by { $by }, on { $device }
entry-as-written = As it was typed
entry-correct = Correct it
entry-save = Save the correction
entry-take-back = Take it back
entry-take-back-about = It counts no more from then on; what it said can still be read here.
entry-take-back-go = Take it back

## water
water-title = Water of { $name }
water-none = This feed was never analysed. A field kit is enough to begin with: conductivity, hardness, alkalinity and pH.
water-impossible = These values can't stand together in one water.
water-keep-below = Keep the recovery below { $percent }: beyond it the concentrate holds more { $mineral } than is allowed.
water-no-limit = No mineral that was analysed limits the recovery.
water-words = What this stands on
water-analysis = The analysis
water-new = Enter an analysis
water-new-about = Leave empty what was not measured; 0 means measured and none there. Any unit will do: 17 gpg, 12 dH, 210 mg/L as CaCO3.
water-kit = Field kit
water-rest = The rest of a laboratory's analysis
water-name = What it is called
water-conductivity = Conductivity
water-hardness = Hardness
water-alkalinity = Alkalinity
water-ph = pH
water-temperature = Temperature
water-tds = Dissolved salt (TDS)
water-calcium = Calcium
water-magnesium = Magnesium
water-sodium = Sodium
water-potassium = Potassium
water-chloride = Chloride
water-sulfate = Sulfate
water-nitrate = Nitrate (as NO3)
water-silica = Silica (as SiO2)
water-iron = Iron
water-manganese = Manganese
water-strontium = Strontium
water-barium = Barium
water-fluoride = Fluoride
water-ammonium = Ammonium (as NH4)
water-boron = Boron (as B)
water-phosphate = Phosphate (as PO4)
water-free-chlorine = Free chlorine
water-chloramine = Chloramine
water-turbidity = Turbidity
water-sdi = Silt density index
water-toc = Organic carbon (TOC)
water-said-only-salt = Only the salt content is known ({ $salt } as sodium chloride): scale can't be judged.
water-said-limit = { $with }: { $keep }.
water-said-at = At { $percent } recovery { $mineral } is { $times } times over saturation.
water-said-at-free = At { $percent } recovery no mineral known of is over saturation.
water-with-both = After the softener, with the antiscalant
water-with-softener = After the softener
water-with-antiscalant = With the antiscalant
water-with-neither = Without softening or antiscalant
water-keep-nowhere = no recovery keeps { $mineral } within what is allowed
water-keep-about = keep below about { $percent }, where { $mineral } comes first
water-keep-likely = keep below about { $percent } (for what was assumed, between { $low } and { $high }), where { $mineral } comes first
water-keep-free = no mineral known of limits the recovery below 95 %
water-said-antiscalant = With an antiscalant stage (which changes calcite only) { $mineral } comes first, at { $percent }.
water-said-antiscalant-free = With an antiscalant stage (which changes calcite only) no mineral known of limits the recovery below 95 %.
water-said-softener = With a softener (which takes the hardness, barium and strontium) { $mineral } comes first, at { $percent }.
water-said-softener-free = With a softener (which takes the hardness, barium and strontium) no mineral known of limits the recovery below 95 %.
water-said-silica-stays = Neither changes amorphous silica, which allows { $percent }.
water-said-not-judged = Not analysed, so the scale that it may form is not judged: { $fields }.
water-threat-free-chlorine = Free chlorine { $read } (limit { $limit }): it oxidises the polyamide, and salt passage rises for good; where no carbon takes it, salt passage has doubled after about { $time } of running.
water-threat-chloramine = Chloramine { $read } (limit { $limit }): it passes carbon several times slower than free chlorine, so a bed sized for chlorine lets it through to the membranes; where no carbon takes it, salt passage has doubled after about { $time } of running.
water-threat-turbidity = Turbidity { $read } (limit { $limit }): it loads the sediment stage and then the lead membrane, within weeks.
water-threat-sdi = Silt density index { $read } (limit { $limit }): fine particles foul the lead membrane, within weeks to months.
water-threat-iron = Iron { $read } (limit { $limit }): it turns to rust where oxygen or chlorine meets it, fouls stages and membranes and hastens oxidation, within weeks.
water-threat-manganese = Manganese { $read } (limit { $limit }): it turns to black oxide where chlorine meets it, fouls stages and membranes and hastens oxidation, within weeks to months.
water-threat-toc = Organic carbon { $read } (limit { $limit }): it feeds growth on the membranes and shortens the carbon's life, within months.
water-hours = { $n } hours
water-days = { $n } days
water-said-strong = The ionic strength is { $strength } mol/kg; the chemistry is checked to { $most } mol/kg.
water-said-strong-concentrate = The ionic strength of the concentrate is { $strength } mol/kg; the chemistry is checked to { $most } mol/kg.
water-said-cations = Charge balance +{ $percent } %: there are more cations than the rest can balance. One analysis is off by more than 5 %.
water-said-anions = Charge balance −{ $percent } %: there are more anions than the rest can balance. One analysis is off by more than 5 %.
water-said-made-by-ions = The ions make a conductivity of { $made } at 25 °C, { $read } was read: they contradict each other.
water-said-made-by-kit = Hardness, alkalinity and the ions given make a conductivity of { $made } at 25 °C, { $read } was read: they contradict each other.
water-said-made-by-given = The ions given make a conductivity of { $made } at 25 °C, { $read } was read: they contradict each other.
water-said-hardness = A hardness of { $read } was read, calcium and magnesium make { $made }; the two ions are used.
water-said-tds-ratio = { $tds } dissolved over { $conductivity } is { $ratio } mg/L per µS/cm; natural waters lie between 0.45 and 0.9.
water-said-tds = { $read } of dissolved salt was read; the ions sum to { $whole } with bicarbonate whole, and to { $residue } as residue on evaporation.
water-said-alkalinity-raised = An alkalinity of { $read } is less than pH { $ph } needs ({ $least }); taken as that, for a test kit can't tell the two.
water-said-temperature = The temperature was not given: taken as { $temperature }.
water-said-ph = The pH was not given: taken as { $ph }.
water-said-ph-not-used = The pH was not used: without alkalinity it says nothing of the carbonate.
water-said-hardness-split = Calcium and magnesium come from the hardness: { $percent } of it calcium, typical of natural waters.
water-said-from-hardness = { $other } comes from the hardness less what { $given } makes.
water-said-salt-alone = No ion, hardness or alkalinity was given: the one salt is taken as sodium chloride, and no scale or carbon dioxide can be computed.
water-said-magnesium = Magnesium was not given: taken in its typical proportion to calcium.
water-said-calcium = Calcium was not given: taken in its typical proportion to magnesium.
water-said-alkalinity = The alkalinity was not given: taken as { $ratio } of the hardness, in equivalents, typical of natural waters.
water-said-hardness-taken = The hardness was not given: taken in its typical proportion to the alkalinity.
water-said-hardness-of-cations = The hardness was not given: taken in its typical share of the cations.
water-said-filled = Filled in so that the charges balance, otherwise in typical proportions: { $fields }.
water-said-filled-conductivity = Filled in so that the charges balance and the conductivity is met, otherwise in typical proportions: { $fields }.
water-said-filled-tds = Filled in so that the charges balance and the dissolved salt is met, otherwise in typical proportions: { $fields }.
water-said-less-chloride = Less of the rest is chloride than is typical ({ $percent } of it), for sulfate conducts less and the conductivity asks for it.
water-said-less-chloride-tds = Less of the rest is chloride than is typical ({ $percent } of it), for the dissolved salt asks for it.
water-wrong-number = { $field }: { $read } is not a number that can be used.
water-wrong-range = { $field }: { $read } is outside { $least } to { $most }.
water-wrong-alkalinity = Alkalinity: { $read } is too little for pH { $ph }, which needs at least { $least }; check pH and alkalinity.
water-wrong-carbon-dioxide = pH { $ph } with an alkalinity of { $alkalinity } would need { $gas } of carbon dioxide, more than water holds; check pH and alkalinity.
water-wrong-salty = { $field }: the water would hold { $read } mol/kg of dissolved matter; the chemistry holds to { $most } mol/kg.
water-wrong-nothing = Give at least one of conductivity, dissolved salt, hardness, alkalinity or an ion.
water-wrong-permeate = A permeate of { $read } is less than the feed's carbon dioxide alone makes, { $floor }.
water-wrong-equilibrium = { $field }: no equilibrium could be found with this value.
model-no-membranes = The unit has no membranes; a unit has one to eight.
model-unknown-part = { $id } is not a part of this unit with such a state; it has { $known }.
model-input = { $field } is { $read }; accepted is { $accepted }.
model-accepts-lift = -100 to 100 m
model-accepts-permeate-pressure = -100 to 100000 kPa
model-accepts-osmotic-pressure = 0 to 1 kPa
model-accepts-leak = 0 to 1000
model-accepts-tank-pressure = 0 to 10000 kPa
model-accepts-pressure = 0 to 100000 kPa
model-accepts-draw = 0 to 1000000 L
model-accepts-temperature = 0 to 60 C
model-accepts-rated-concentration = a concentration above 0 and under 100 000 mg/L
model-accepts-concentration = a concentration above 0 and up to 50000 mg/L
model-accepts-state = a factor between 0.000001 and 1000000 (1 is as new)
model-accepts-temperature-coefficient = a factor per degree from 0.9 to 1.2
model-accepts-parameter = a finite number; a logarithm between -40 and 40
model-accepts-rated-flow = a flow above 0 and under 100 000 L/h
model-accepts-flow = a flow above 0 and up to 1000000 L/h
model-accepts-fraction-below-one = a fraction above 0 and under 1
model-accepts-fraction-up-to-one = a fraction above 0 and up to 1
model-accepts-bypass = a fraction from 0 to 0.99
model-accepts-rated-pressure = a pressure above 0 and under 100 000 kPa
model-accepts-pressure-above-nothing = a pressure above 0 and up to 100000 kPa
model-accepts-tank = a tank with a volume above 0 L: a day's cycle needs one
model-accepts-area = an area above 0 and up to 1000 m2
model-accepts-exponent = an exponent from 0.05 to 2
model-accepts-neutral = cations and anions within 80 % of each other: no permeate of this water could be neutral
model-accepts-elements = one to eight elements
model-accepts-own-parameters = the parameters of this very unit
model-accepts-stages = up to 16 stages
model-no-flow = No water flows: the membranes are at { $membranes } with no flow at all, the inlet at { $inlet }. A pressure above 0 is needed.
model-no-flow-pump = No water flows: the membranes are at { $membranes } with no flow at all, the inlet at { $inlet }, the pump included. A pressure above 0 is needed.
model-no-permeate = No permeate: the inlet pressure does not reach the { $needed } at the membranes above which this water gives permeate (osmotic pressure { $osmotic }, permeate pressure { $permeate }); it is { $membranes }.
model-no-permeate-pump = No permeate: the pump can't reach the { $needed } at the membranes above which this water gives permeate (osmotic pressure { $osmotic }, permeate pressure { $permeate }); it is { $membranes }.
model-shut-off = The pressure shut-off is closed: the permeate at { $permeate } is at or above 2/3 of the feed's { $feed }.
model-runs-dry = { $element } of the parallel row would pass all of its feed as permeate and draw on its neighbours' concentrate ({ $percent } of it is permeate): its permeability and the others' are too far apart, or the restrictor lets almost nothing through.
model-water = The chemistry of the water has no answer. { $why }
model-unsolved = The steady state of this unit was not found ({ $what }); please report the unit.
saturation-title = Saturation against recovery
saturation-about = The more of the feed becomes permeate, the saltier is what is left. Above its level a mineral can come out and lie on the membranes as scale.
saturation-alt = Saturation index of each mineral in the concentrate against recovery. The recoveries to keep below stand in the table.
saturation-caption = Saturation index (log10) in the feed, what is allowed in the concentrate, and the recovery to keep below
saturation-feed = In the feed
saturation-allowed = Allowed
saturation-below = Keep below
saturation-index = Saturation index
saturation-allowed-for = allowed: { $minerals }
recovery = Recovery
mineral = Mineral
mineral-calcite = calcite
mineral-aragonite = aragonite
mineral-gypsum = gypsum
mineral-barite = barite
mineral-celestite = celestite
mineral-fluorite = fluorite
mineral-amorphous-silica = amorphous silica

## how a figure was computed
how-these = How these were computed:
how-about = The figure with its equation, the numbers that went in, where each came from, and how sure it is. “±” is one standard deviation: about two times in three the truth lies within it.
how-caption = What went in
how-inputs = What went into: { $figure }
how-symbol = Letter
how-meaning = What it is
how-value = Value
how-from = Where it came from
how-source = Source:
how-range = eight times in ten between { $low } and { $high }
how-no-sd = without an uncertainty of its own: as sure as what went in
how-days =
    { $n ->
        [1] 1 day
        *[other] { $n } days
    }
origin-read = read at the unit
origin-estimated = not read: filled in from the unit's own hydraulics
origin-described = the unit's description: label, rating plate, limit
origin-analysed = the analysis of the feed
origin-baseline = the readings from when the membranes were new
origin-learned = learned from all readings together
origin-constant = a constant
origin-solved = found by search or simulation, so that all laws hold at once

how-recovery = Recovery
how-recovery-words = The share of the feed that became permeate. The rest runs to drain and carries the salt away.
how-feed-salt = Salt of the feed
how-feed-salt-words = A meter shows how well water conducts, not what is in it. What of salt goes with a microsiemens differs from water to water, so this water's own ratio is used.
how-permeate-salt = Salt of the permeate
how-permeate-salt-words = As in the feed, but carbon dioxide passes the membrane freely and conducts without being salt, so what it makes is taken off first.
how-feed-side = Mean salt along the membranes
how-feed-side-words = From the feed's end to the drain's the water gets saltier. This is the mean on the way, which is what the membranes meet.
how-feed-osmotic = Osmotic pressure at the membranes
how-feed-osmotic-words = Salty water pulls water back through the membrane. The supply has to overcome this pressure before anything is made.
how-permeate-osmotic = Osmotic pressure of the permeate
how-permeate-osmotic-words = The same for the little salt on the other side, where it helps.
how-driving = Net driving pressure
how-driving-words = What is left to press water through: the pressure at the membranes, less half the drop along them, less the pressure on the permeate, less what the salt pulls back.
how-temperature-factor = Temperature factor
how-temperature-factor-words = Warm water passes a membrane more easily, about three percent for each degree. 1 means 25 °C.
how-standard-flow = Standardised permeate flow
how-standard-flow-words = What the membranes would have made at 25 °C with the driving pressure of the baseline: the weather and the supply taken out.
how-relative-flow = Permeate flow against new
how-relative-flow-words = The standardised flow over what it was when the membranes were new. What is missing is the membranes' own: fouling, scale, age.
how-standard-salt = Standardised salt passage
how-standard-salt-words = The share of the salt that would have passed at 25 °C, with the flow and the feed of the baseline. More flow thins the salt, warmth lets more through; both are taken out.
how-relative-salt = Salt passage against new
how-relative-salt-words = The standardised salt passage over what it was when the membranes were new. A rise tells of scale, of oxidant, or of a leaking seal.
how-standard-drop = Standardised pressure drop
how-standard-drop-words = The drop along the membranes as it would be at the baseline's flow and 25 °C. φ is the friction of the channel at a flow and a temperature.
how-relative-drop = Pressure drop along the membranes against new
how-relative-drop-words = The standardised drop over what it was when the membranes were new. A rise tells of dirt in the channel.

how-change = Change of the permeate flow
how-change-words = The flow as read now over the flow as read then. Nothing is corrected in it; the shares beside it say what made it.
how-by-temperature = The water's temperature alone
how-by-temperature-words = What the flow would have changed by, had only the temperature changed.
how-by-pressure = One term of the driving pressure alone
how-by-pressure-words = The driving pressure has several terms, and what one of them did depends on which came before. So its share is the mean over all orders in which they could have changed; the shares of all of them together are the whole, to the last digit. Terms that take pressure away count below zero.
how-by-membrane = The membranes alone
how-by-membrane-words = What temperature and driving pressure do not explain is the membranes' own.
how-standing-water = Water that the membranes let through, against new
how-standing-water-words = A line through the last half year of sound readings, each against new, read off at the last of them. It is the middle of all slopes between two readings, so that a wild one does not move it.
how-standing-salt = Salt that the membranes let through, against new
how-standing-salt-words = A line through the last half year of sound readings, each against new, read off at the last of them. It is the middle of all slopes between two readings, so that a wild one does not move it.

how-due-by-age = Due by its age
how-due-by-age-words = The days that it may serve, less those that it has served.
how-due-by-many = Due by its age, or sooner by another limit
how-due-by-many-words = Many equally likely courses are followed, each until the part meets the first of its limits. The middle of these days is the answer; one in ten is earlier than the range, one in ten later.
how-due-by-volume = Due by the water treated
how-due-by-volume-words = The capacity, less what was treated so far, over what is made in a day, in each of many equally likely courses of use and of the bed itself. The middle of these days is the answer.
how-due-by-drop = Due by its pressure drop
how-due-by-drop-words = A filter's resistance grows with the water filtered, by one of Hermia's laws of blocking; which one, and how fast, its readings and the feed tell. Each of many equally likely courses is followed until the drop, at the usual flow and 25 °C, meets the limit. The middle of these days is the answer.
how-due-by-chlorine = Due by the chlorine that passes
how-due-by-chlorine-words = The last two readings show more chlorine behind the carbon than is allowed, so it is due now: chlorine ruins membranes.
how-due-by-flow = Due by lost permeate flow
how-due-by-flow-words = Dirt and scale take flow as water is made. Each of many equally likely courses, drawn from what the readings leave possible, is followed until the standardised flow has lost what the limit allows. The middle of these days is the answer.
how-due-by-salt = Due by salt passage
how-due-by-salt-words = Age, oxidant and scale let more salt through. Each of many equally likely courses, drawn from what the readings leave possible, is followed until the standardised salt passage has risen by what the limit allows. The middle of these days is the answer.
how-due-by-channel = Due by the drop along the membranes
how-due-by-channel-words = Dirt in the channel raises the drop. Each of many equally likely courses is followed until the standardised drop has risen by what the limit allows. The middle of these days is the answer.
how-due-by-need = Due by what is asked of the unit
how-due-by-need-words = Cold water makes less. Each of many equally likely courses is followed, week by week at the temperature expected of the feed, to the first week in which the unit can't make what is asked of it. The middle of these days is the answer.
how-used-by-age = Life used, by its age
how-used-by-age-words = The days that it has served, over those that it may.
how-used = Life used
how-used-words = How far it has gone towards the limit that it meets first, over the whole way, in each of many equally likely courses. The middle of these shares is the answer.
how-load = What the filter takes away
how-load-words = The middle of the last three readings of the gauges before and after it, each carried to the usual flow and 25 °C: cold water and a larger flow would make a clean filter look loaded.

how-feed-flow = Feed flow
how-feed-flow-words = What goes in comes out, as permeate and as concentrate.
how-behind-filter = Pressure after the filter
how-behind-filter-words = A clean filter takes so much at its labelled flow; more with more flow, and more in cold water, which is thicker.
how-behind-open = Pressure
how-behind-open-words = Nothing is known to take pressure away here.
how-behind-pump = Pressure after the pump
how-behind-pump-words = A booster adds most at no flow, and nothing at its open flow.
how-behind-regulator = Pressure after the regulator
how-behind-regulator-words = A regulator lets no more through than it is set to.
how-element-flow = Permeate of one element
how-element-flow-words = Water passes each square metre in proportion to the pressure that is left after osmotic pressure. The element is followed in short segments from the feed's end to the other; J is the mean of what they let through.
how-permeate-flow = Permeate flow
how-permeate-flow-words = The sum of what the elements make.
how-element-salt = Salt of one element's permeate
how-element-salt-words = Salt passes in proportion to what stands at the membrane, which is β times as salty as the water flowing by, since the water that leaves leaves its salt behind. More flux thins what passes.
how-permeate-conductivity = Conductivity of the permeate
how-permeate-conductivity-words = What a meter would show: what the ions that passed conduct at 25 °C, and the carbon dioxide that passed with them.
how-concentrate-pressure = Pressure before the restrictor
how-concentrate-pressure-words = The pressure at the membranes, less the friction along their channels.
how-restrictor = Flow to drain
how-restrictor-words = The restrictor passes so much at its labelled pressure; other pressures and colder water by its law.
how-concentrate-salt = Salt of the concentrate
how-concentrate-salt-words = The salt that came in, less what passed, in the water that is left. G is what bicarbonate, carbonate and carbon dioxide change among themselves as the water gets denser.
how-predicted-recovery = Recovery
how-predicted-recovery-words = The share of the feed that becomes permeate.

how-saturation = Saturation index
how-saturation-words = How far the water is from giving up a mineral: the logarithm of what is dissolved of it over what can be. At 0 it is just full; 1 is ten times too much; below 0 nothing comes out.
how-allowed = Saturation allowed in the concentrate
how-allowed-words = A little calcite takes longer to form than water takes to pass; the others are given no such credit. An antiscalant allows more.
how-keep-below = Recovery to keep below
how-keep-below-words = The more of the feed becomes permeate, the denser is what is left: F times as dense. The search finds the F at which the mineral's saturation meets what is allowed.

how-slip-flow = The flow that would fit
how-slip-flow-words = People slip by ten, by gallons for litres, by hours for minutes. Each such slip was tried, and this one brings the reading back in line with the readings before and after it. Nothing was changed.
how-slip-pressure = The pressure that would fit
how-slip-pressure-words = People slip by ten, or by psi for bar. Each such slip was tried, and this one brings the reading back in line with the readings before and after it. Nothing was changed.
how-slip-conductivity = The conductivity that would fit
how-slip-conductivity-words = People slip by ten, by ppm for microsiemens, by one meter for the other. Each such slip was tried, and this one brings the reading back in line with the readings before and after it. Nothing was changed.
how-slip-salt = The salt content that would fit
how-slip-salt-words = People slip by ten, by microsiemens for ppm, by one meter for the other. Each such slip was tried, and this one brings the reading back in line with the readings before and after it. Nothing was changed.
how-slip-temperature = The temperature that would fit
how-slip-temperature-words = A slipped point was tried, and it brings the reading back in line with the season. Nothing was changed.
how-slip-fahrenheit = The temperature that would fit
how-slip-fahrenheit-words = What was read fits if it was in degrees Fahrenheit and was taken for Celsius. Nothing was changed.
how-slip-celsius = The temperature that would fit
how-slip-celsius-words = What was read fits if it was in degrees Celsius and was taken for Fahrenheit. Nothing was changed.

symbol-activity-product = logarithm of the mineral's ions as they act in this water, multiplied
symbol-age = days that it has served
symbol-age-limit = days that it may serve
symbol-allowed-index = saturation index allowed
symbol-as-read = as it was read
symbol-as-read-bare = the number as it was read
symbol-baseline-driving = net driving pressure of the baseline
symbol-baseline-drop = standardised drop of the baseline
symbol-baseline-feed = salt of the feed in the baseline
symbol-baseline-feed-side = mean salt along the membranes in the baseline
symbol-baseline-flow = standardised permeate flow of the baseline
symbol-baseline-friction = friction at the baseline's flow and 25 °C
symbol-baseline-salt = standardised salt passage of the baseline
symbol-by-back-pressure = the pressure on the permeate alone
symbol-by-inlet = the supply pressure alone
symbol-by-membrane = the membranes alone
symbol-by-osmotic = the osmotic pressure alone
symbol-by-prefilters = the filters before the membranes alone
symbol-by-pressure = this term alone
symbol-by-pump = the pump alone
symbol-by-temperature = the temperature alone
symbol-carbonate-shift = what the carbonates change among themselves
symbol-change = change of the flow, now over then
symbol-channel-drop = pressure drop along the membranes
symbol-clean-drop = drop of the clean filter at its labelled flow
symbol-clean-drop-flow = labelled flow
symbol-concentrate-flow = flow to drain
symbol-concentrate-pressure = pressure before the restrictor
symbol-concentrate-salt = salt of the concentrate
symbol-concentration-factor = how many times as dense as the feed
symbol-conductivity-per-salt = microsiemens per milligram in a litre of this permeate
symbol-courses = courses that were followed
symbol-driving-now = net driving pressure now
symbol-driving-pressure = net driving pressure
symbol-driving-then = net driving pressure then
symbol-due-in = time until it is due
symbol-due-in-course = time until it is due in one course
symbol-element-feed-salt = salt of the water that reaches the element
symbol-element-flow = permeate of an element
symbol-element-salt = salt of the element's permeate
symbol-element-salt-passage = share of the salt that passes this element
symbol-fair-share = fair share of the logarithm
symbol-feed-conductivity = conductivity of the feed
symbol-feed-flow = feed flow
symbol-feed-osmotic = osmotic pressure at the membranes
symbol-feed-salt = salt of the feed
symbol-feed-side-salt = mean salt along the membranes
symbol-flow-now = permeate flow now
symbol-flow-then = permeate flow then
symbol-flux = permeate through a square metre in an hour
symbol-friction = friction at this reading's flow and temperature
symbol-gas-conductivity = what carbon dioxide makes of it
symbol-keep-below = recovery to keep below
symbol-level-of-flow = logarithm of the flow against new, by the line
symbol-level-of-salt = logarithm of the salt passage against new, by the line
symbol-life-used = share of its life used
symbol-limit-chlorine = chlorine allowed behind it
symbol-limit-drop = pressure drop allowed
symbol-limit-need = litres asked for in a day
symbol-limit-share = change allowed against new
symbol-limit-volume = litres that it can treat
symbol-membrane-area = membrane area
symbol-membrane-pressure = pressure at the membranes
symbol-osmotic-curve = bend of osmotic pressure: 1 for sodium chloride, 0 for a straight line
symbol-osmotic-slope = osmotic pressure of this water's salt
symbol-permeate-conductivity = conductivity of the permeate
symbol-permeate-flow = permeate flow
symbol-permeate-osmotic = osmotic pressure of the permeate
symbol-permeate-pressure = pressure on the permeate side
symbol-permeate-salt = salt of the permeate
symbol-polarisation = how many times saltier it is at the membrane
symbol-pressure-before = pressure before it
symbol-pressure-behind = pressure after it
symbol-pump-open = flow at which the pump adds nothing
symbol-pump-shutoff = what the pump adds at no flow
symbol-readings-used = readings used
symbol-recovery = recovery
symbol-relative-drop = drop against new
symbol-relative-flow = permeate flow against new
symbol-relative-salt = salt passage against new
symbol-relative-viscosity = how many times thicker the water is than at 25 °C
symbol-restrictor-exponent = power of the pressure
symbol-restrictor-flow = labelled flow of the restrictor
symbol-restrictor-pressure = labelled pressure of the restrictor
symbol-salt-per-conductivity = milligrams in a litre per microsiemens in this water
symbol-saturation-index = saturation index
symbol-set-pressure = pressure that it is set to
symbol-slip-factor = factor of the slip
symbol-solubility-product = logarithm of the same product where the mineral is just full
symbol-stage-drop = drop at the usual flow and 25 °C
symbol-stage-drop-clean = drop when clean
symbol-stage-drop-read = drop of one reading, at the usual flow and 25 °C
symbol-standard-drop = standardised pressure drop
symbol-standard-flow = standardised permeate flow
symbol-standard-salt = standardised salt passage
symbol-standing-salt = salt let through, against new
symbol-standing-water = water let through, against new
symbol-temperature = temperature of the feed
symbol-temperature-coefficient = factor for each degree
symbol-temperature-factor = temperature factor
symbol-temperature-now = temperature now
symbol-temperature-then = temperature then
symbol-term-now = the term now
symbol-term-then = the term then
symbol-usual-index = what is usual, or the unit's own limit
symbol-viscosity-exponent = power of the thickness
symbol-way-gone = how far it has gone in one course
symbol-way-to-limit = the whole way to the limit
symbol-would-fit = what would fit

## sites and customers
site-new = Add a site
site-place = Where it is
site-access = How one gets in
site-way-in = Way in: { $access }
site-customer = Whose it is
site-units = Units here
customer-new = Add a customer
customer-phone = Telephone
customer-email = E-mail
customer-address = Address

## fields of a reading
field-feed-temperature = Temperature of the feed
field-inlet-pressure = Inlet pressure
field-membrane-pressure = Pressure before the membranes
field-concentrate-pressure = Concentrate pressure
field-permeate-pressure = Permeate pressure
field-permeate-flow = Permeate flow
field-concentrate-flow = Concentrate flow
field-feed-conductivity = Conductivity of the feed
field-permeate-conductivity = Conductivity of the permeate
field-feed-tds = Salt of the feed (TDS)
field-permeate-tds = Salt of the permeate (TDS)
field-permeate-total = Permeate totaliser
field-feed-total = Feed totaliser
field-running-hours = Hour meter
field-feed-free-chlorine = Free chlorine of the feed
field-feed-total-chlorine = Total chlorine of the feed
field-free-chlorine-out = Free chlorine after the carbon
field-total-chlorine-out = Total chlorine after the carbon
field-hardness-out = Hardness after the softener
field-running-for = How long it had been running
observed-runs-to-drain-when-full = Runs to drain although the tank is full
observed-no-water = No water at all
observed-pump-silent = The pump makes no sound
observed-pump-short-cycles = The pump starts and stops every few moments
observed-leak = Water where none should be
observed-tank-never-full = The tank never fills
observed-tank-delivers-little = A full tank gives little
observed-uses-more = More is drawn than before
observed-taste-or-smell = Taste or smell
observed-brown-water = Brown water
observed-just-started = Taken just after a start
observed-after-work = Since the last work on the unit

## a unit as built
to-unit-new = Put a unit in
to-plan = As built: change it
plan-new-title = Put a unit in
plan-new-about = From the label of a membrane element and what one sees. What you leave empty is filled in with what is usual, and shown to you before anything is written down.
plan-title = { $name }: as built
plan-about = What the unit is made of. A part that was only replaced by a new one belongs under “Something was done”.
plan-trail = What was described, when and by whom
plan-how = How it came about
plan-how-altered = Something was changed: so from then on
plan-how-wrong = What stands was wrong: so from the start
plan-labels-differ = The elements have different labels. Each is changed under “Something was done”; here they stay as they are.
plan-look = Look it over
plan-look-title = Before it is written down
plan-change-title = Change something first
plan-keep = Write this unit down
plan-keep-altered = Write this down
plan-nothing-assumed = Everything is as it was stated; nothing is filled in.
plan-assumed-title = Filled in, because it was not stated
plan-assumed-about = This is not read off your unit. Look whether it fits; readings will correct some of it, not all.
plan-assumed-what = What
plan-assumed-value = Taken as
plan-assumed-note = Filled in when the unit was described, not seen: { $list }
source-practice = common practice, no source
source-memory = typical, from memory
source-d4516 = ASTM D4516
source-ledger = as at the unit put in last
plan-site = Where it stands
plan-site-new = At a site that is not in the ledger yet
plan-site-name = Name of the new site
plan-customer-name = Name of a new customer
plan-since = First day in service
plan-zone = Time zone
plan-zone-hint = Its IANA name, such as Europe/Lisbon. Times in logs are read in it.
plan-more = More
plan-label-title = On the membrane element's label
plan-label-about = Every element of the unit with this label. The label says what it makes when new, under the conditions that it names.
plan-label-more = More that a label may say
plan-size = Size
size-1812 = 1812: 1.8 by 12 inches
size-2012 = 2012: 2 by 12 inches
size-3012 = 3012: 3 by 12 inches
size-2521 = 2521: 2.5 by 21 inches
size-4021 = 4021: 4 by 21 inches
size-2540 = 2540: 2.5 by 40 inches
size-4040 = 4040: 4 by 40 inches
plan-rated-flow = Permeate it makes
plan-rated-flow-hint = Such as 100 gpd or 16 L/h.
plan-rated-rejection = Salt it holds back
plan-rated-rejection-hint = Such as 97 %.
plan-rated-pressure = At this pressure
plan-rated-tds = With this much salt in the feed
plan-rated-tds-hint = As sodium chloride; a label's ppm is mg/L.
plan-rated-temperature = At this temperature
plan-rated-recovery = At this recovery
plan-rated-recovery-hint = The share of the feed that becomes permeate, such as 15 %.
plan-area = Membrane area of one element
plan-count = How many elements
plan-arrangement = How they are joined
plan-wrong-rating = No membrane can do that: at { $pressure } on { $salt }, holding back { $rejection } % at a recovery of { $recovery }, even a perfectly open one makes { $most }, not { $flow }. The osmotic pressure of that feed is { $osmotic }. Look again at the units on the label.
plan-stages-title = Before the membranes
plan-stages-about = In the order in which the water passes. What is not there stays empty.
plan-stage = { $n }. in the flow
plan-stages-more = More of them
plan-inlet-valve = A shut-off valve stands before the first of them
stage-spun = Sediment filter, spun (thrown away)
stage-pleated = Sediment filter, pleated (washable)
stage-carbon = Carbon filter, activated
stage-catalytic = Carbon filter, catalytic
stage-other = Something else in a housing
plan-pump-title = Numbers of the pump or the regulator
plan-pump-open-flow = Pump: flow at no added pressure
plan-pump-hint = On its plate as open flow.
plan-pump-shutoff = Pump: pressure added at no flow
plan-regulator-pressure = Regulator: set pressure
plan-drain-title = To drain
plan-restrictor-flow = Restrictor: flow
plan-restrictor-hint = Printed on it, such as 900 mL/min.
plan-restrictor-at = At this pressure
plan-restrictor-kind = What it is
restrictor-capillary = A length of fine tube
restrictor-orifice = A small hole, or a needle valve
plan-flush-valve = A valve round the restrictor, for flushing
plan-tank-title = To the tank
plan-tank = Tank
plan-tank-volume = Whole volume
plan-tank-precharge = Air pressure when empty
plan-lift = Height from the membranes up to its inlet
plan-shutoff = What stops the unit when it is full
plan-tank-valve = A valve at the tank
plan-check-valve = A check valve where the permeate joins
plan-wrong-tank = These numbers are a tank's. Accepted: a kind of tank, or no numbers.
plan-need-title = What is asked of it
plan-need-volume = Permeate needed in a day
plan-need-salt = Salt the permeate may have
plan-coldest = Feed in the coldest week
plan-warmest = Feed in the warmest week
plan-use = Permeate really drawn in a day
plan-water-title = Its water
plan-water-about = From an analysis or a field kit; it can be entered later too. Leave empty what was not measured.
plan-wrong-two-sites = A site is chosen above. Accepted: one or the other.
plan-wrong-before = What stands is of { $day }. Accepted: a time since then, or that the description was wrong.
typical-clean-drop = { $part }: pressure drop when clean
typical-at = { $drop } at { $flow }
typical-worn = { $part }: worn at a pressure drop of
typical-age = { $part }: worn after
typical-year = 365 days
typical-chlorine = { $part }: worn at free chlorine after it of
typical-rinse = { $part }: to drain when new
typical-coefficient = Permeability per degree of warmth

## records brought in
to-import = Bring records in
import-title = Bring records of { $name } in
import-about = A reading log as it was kept: a spreadsheet, or text with a line of headings. It is shown as it was understood before anything is written down; what was brought in before is not added again.
import-file = The log, as a file
import-file-hint = CSV, TSV and other text, XLSX, XLS or ODS; up to 20 MB.
import-pasted = Or paste it here
import-pasted-hint = With its line of headings, copied from a spreadsheet or a message.
import-pasted-name = pasted text
import-nothing = Nothing was sent. Accepted: a file, or text pasted in.
import-too-large = This is too large. Accepted: up to 20 MB.
import-no-table = “{ $name }” is no table. Accepted: CSV, TSV and other text, XLSX, XLS or ODS.
import-would =
    { $readings ->
        [0] No reading
        [one] One reading
        *[other] { $readings } readings
    } and { $events ->
        [0] no event
        [one] one event
        *[other] { $events } events
    } would be added{ $aside ->
        [0] .
        [one] ; one row would be kept as it stands.
        *[other] ; { $aside } rows would be kept as they stand.
    }
import-span = From { $from } to { $to }.
import-there =
    { $n ->
        [one] One was brought in before, and is not added again.
        *[other] { $n } were brought in before, and are not added again.
    }
import-same =
    { $n ->
        [one] One line says what the ledger has from elsewhere: not added.
        *[other] { $n } lines say what the ledger has from elsewhere: not added.
    }
import-repeated =
    { $n ->
        [one] One line repeats a line above it: not added.
        *[other] { $n } lines repeat lines above them: not added.
    }
import-again =
    { $n ->
        [one] One line is read differently than before: a correction is added.
        *[other] { $n } lines are read differently than before: corrections are added.
    }
import-corrected =
    { $n ->
        [one] One line was corrected by hand since: it stays as corrected.
        *[other] { $n } lines were corrected by hand since: they stay as corrected.
    }
import-differs =
    { $n ->
        [one] One line differs from a reading of the same time: both stay.
        *[other] { $n } lines differ from readings of the same times: both stay.
    }
import-examples = The first of them, as they would stand
import-events = What remarks say was done
import-set-aside = Rows that could not be read
import-set-aside-about = They are kept as they stand, and can be put right later in the unit's log.
import-line = Line { $line }:
import-cells = Cells to look at again
import-cell = { $field }, “{ $text }”:
import-more = { $n } more.
import-habits = How it was read
import-columns = The columns
import-columns-about = What each column was taken for. Choose something else where that is wrong, and look again.
import-heading = Heading in the file
import-read-as = Read as
import-unit = Unit of bare numbers
import-date = Day, or day and time
import-time = Time of day
import-by = Who read it
import-ignore = Not used
import-keep = Keep these records
import-nothing-new = There is nothing new in it.
import-choose-again = This log is too large to travel with the page: choose the file once more before you keep it.
import-look-again = Look again
import-another = Another log
import-how = If the file itself was read wrongly
import-order = Dates such as 3/4/2025 are written
order-day = with the day first
order-month = with the month first
order-year = with the year first
import-header-line = Line of the headings
import-sheet = Sheet of the workbook

## settings
nav-settings = Settings
settings-person-title = You
settings-person = You are { $name }.
settings-not-me = Someone else is here
settings-nobody = Units of measure and language are kept for each person.
settings-measures = Units of measure
measures-metric = Metric: bar, °C, L/h
measures-us = US: psi, °F, gallons
settings-language = Language
language-own-name = English
settings-own-units = A unit of your own for some of them
settings-own-units-about = What you type beside a value becomes yours on its own; here it can be changed, or taken back.
kind-flow = Flow
kind-volume = Volume
kind-pressure = Pressure
kind-temperature = Temperature
kind-conductivity = Conductivity
kind-hardness = Hardness and alkalinity
settings-units-title = Instruments, and when parts count as worn
settings-units-each = Choose a unit
settings-units-about = They belong to a unit; the same instruments can be set for all units at once.
backup-title = Backup
backup-about = The whole ledger in one file, as it is at this moment. Keep it somewhere else than here.
backup-go = Make a backup
restore-title = Restore
restore-about = A backup takes the place of this ledger. What is here now is kept beside it as a file; devices hand over again what the backup lacks.
restore-file = The backup
restore-hint = A file that was made with “Make a backup” or with saltmark backup.
restore-go = Restore this backup
restored-title = Restored.
restored = The ledger has the { $n } entries of the backup. The one before is kept beside it, under a name that ends in “before-restore” and a number.
restore-nothing = No file was sent. Accepted: a backup of a Saltmark ledger.
restore-no-ledger = This is no Saltmark ledger. The ledger here is as it was.
restore-newer = This is a ledger of version { $found }, written by a newer Saltmark; this one reads up to version { $ours }. The ledger here is as it was.
restore-cut-off = This file is cut off: it has { $found } bytes of { $expected }. The ledger here is as it was.
restore-damaged = This backup is damaged. The ledger here is as it was; try an earlier backup.
restore-busy = Another program is using the ledger, so it was not replaced. Try again when that has ended.
restore-full = There is no room for it on the disk. The ledger here is as it was.
restore-too-large = This is larger than { $most } MB. Accepted: a smaller file, or saltmark restore on the machine itself. The ledger here is as it was.
restore-failed = It could not be done. The ledger here is as it was.
export-title = Take records out
export-about = For spreadsheets and other programs: corrections applied, every number in the unit that its heading names.
export-workbook = Everything as a workbook (XLSX)
export-units = Units (CSV)
export-readings = Readings (CSV)
export-events = What was done (CSV)
export-waters = Analyses of water (CSV)
export-set-aside = Rows that could not be read (CSV)
export-log = Every entry as it was written (JSON lines)
needs-network-title = This needs the network
needs-network = A backup, a restore, an export and whatever is printed are made by the server, from the whole ledger. Without a signal they have to wait; nothing is lost meanwhile.

## printed cards and labels
to-labels = Print labels
paper-a4 = A4
paper-letter = Letter
print-title = Print
print-about = Printed cards and labels are made by the server. Without a signal they have to wait; what is on this page works meanwhile.
print-card = Job card as PDF
print-customer = Plain card for the customer as PDF
print-not-for-customers = This work is not for a customer alone
print-no-room-title = The label has no room for this
print-no-room = What must stand on the label of { $of } has no room on a label of { $label } mm, and nothing is cut from a label.
print-roomy = These sheets have room for all of it (size in mm, paper):
print-unknown-title = This can't be printed so
print-unknown = There is no such paper or sheet of labels, or more of its labels are said to be used than it has. Go back and choose again.
print-address = The address of this unit's page is too long for a QR code that a telephone reads: at most 300 characters.
labels-about = A label for the unit leads to its page by a QR code. A label for a housing says what the next hand must know before it opens it, since when the part is in it, and from when it may be due. The small sizes hold only the unit's own label, or that of a part with little to say.
labels-size = Size of a label
labels-which = Which labels
labels-own = The unit's own
labels-skip = Labels of the first sheet that are used already
labels-edges = Draw the edges, for plain paper that is cut by hand
labels-print = Make the PDF

## the doses and volumes of a card
work-how-doses = How the volumes and doses were computed:
work-how-expected = How the values that should be read were computed
how-bleach = Bleach for the unit
how-bleach-words = So much bleach that all the water in the unit has the chlorine it needs. The card rounds up to full millilitres.
how-empty-volume = What the unit holds
how-empty-volume-words = Bowls, vessels and tubes together, with the cartridges and membranes out; the tubes stand last.
how-bath = Chemical for the bath
how-bath-words = Grams for each litre, times the litres of the bath. The card rounds to full grams.
how-bath-volume = The bath
how-bath-volume-words = What stands in the membranes' housings, and what has to stay in the bucket for the pump to draw, in full litres.
how-element-volume = What stands in the membranes' housings
how-element-volume-words = The channels on the feed side of the sheets, and the gap round each element.
how-rinse = Rinsing the carbon
how-rinse-words = The carbon's own volume many times over, and never less than a bucket or two, in full litres.
how-rinse-stated = Rinsing the carbon
how-rinse-stated-words = As the unit's description says, in full litres.
symbol-bleach-volume = bleach
symbol-empty-volume = what the unit holds
symbol-chlorine-wanted = chlorine that is wanted
symbol-chlorine-of-bleach = chlorine in the bleach
symbol-part-volume = what a part holds
symbol-grams = the chemical, g
symbol-grams-per-litre = strength, g/L
symbol-bath-volume = the bath
symbol-element-volume = what stands in the membranes' housings
symbol-spare-volume = what stays in the bucket
symbol-rounding-volume = rounded up by
symbol-channel-height = height of the channel, m
symbol-channel-porosity = share of the channel that is water
symbol-vessel-volume = a membrane housing, by the element's size
symbol-rinse-volume = what it is rinsed with
symbol-rinse-beds = how many times its volume
symbol-bed-volume = volume of the carbon
symbol-least-rinse = never less than
symbol-rinse-stated = as described

## instruments and limits
to-limits = Instruments and limits
limits-title = { $name }: instruments and limits
limits-about = What the unit is read with, and when its parts count as worn. Where a field is empty, what is usual holds.
limits-title-worn = Worn at
limits-saturation = Saturation index allowed in the concentrate
limits-title-instruments = Instruments
limits-everywhere = The same instruments at all other units
usual-where-empty = Where it is empty: { $value } (common practice, no source).
limit-set-flow = Permeate flow lost, of when new
limit-set-salt = Salt passage gained, of when new
limit-set-drop = Drop along the membranes gained, of when new
gauge-error = Pressure gauges: error
gauge-full-scale = Pressure gauges: full scale
thermometer-error = Thermometer: error
bucket-error = Bucket and watch: error of a flow
meter-scale = what its ppm are of
meter-factor = ppm for each µS/cm
meter-step = smallest step of its display
meter-error = error
meter-checked = last checked against a standard
scale-conductivity = Conductivity times a factor
scale-nacl = Sodium chloride
scale-natural = A natural-water mixture
import-columns-unknown = The columns could not all be told by their headings. Choose below what each one is: at least the day and one value.
import-wrong-order = Choose below what each of these columns is: two read as the same.

## photographs
photo = Photograph
photos = Photographs and papers
photo-hint = JPEG, PNG, WebP, or a paper as PDF; up to 20 MB together.
photo-again = Choose the photograph once more: a browser does not keep it while something else is put right.
photo-wrong = “{ $name }” is no picture and no PDF. Accepted: JPEG, PNG, WebP, PDF.
photo-too-large = “{ $name }” is too large. Accepted: up to 20 MB.
photo-too-many = These are too many at once. Accepted: up to { $most }.
photo-add = Add the photograph

## Not saved

not-kept-full-title = Not saved: the storage is full
not-kept-full = Nothing of this was kept. Make room, then send it again; what was saved before is still there.
not-kept-title = Not saved
not-kept = Nothing of this was kept. Send it again; what was saved before is still there.
not-kept-file = Go one page back: the form still has what you chose there.
not-kept-again = Send it again

## what the reader of logs says
told-accepted = CSV, TSV and other delimited text, XLSX, XLS and ODS
told-empty = The log is empty.
told-no-table = This is no table. Accepted: { $accepted }.
told-workbook = The workbook cannot be opened: it is damaged or protected. Accepted: { $accepted }.
told-no-sheet = The workbook has no sheet { $wanted }; it has { $found }.
told-too-large = The log is too large: accepted are 4 GiB of text, and a million cells in a row.
told-no-heading-row = There are no headings: the table begins with “{ $first }”. Write a line of headings above it.
told-no-rows = The headings are in line { $line }, but no row below them could be read. The first, line { $first }: { $why }
told-only-headings = The headings are in line { $line }, and there is nothing below them.
told-mapping = The columns cannot be read as chosen: look at fields and units again, and choose each field once.
told-text = Text in { $encoding }, cells separated by { $delimiter }.
told-tab = a tab
told-semicolon = a semicolon
told-pipe = a vertical bar
told-comma = a comma
told-sheet = Workbook, sheet { $sheet }.
told-header-line = Headings in line { $line }.
told-decimal-comma = Decimal comma.
told-decimal-point = Decimal point.
told-dates-written = Dates are written { $order }.
told-clock-12 = Clock of 12 hours.
told-clock-24 = Clock of 24 hours.
told-day-first = day first
told-month-first = month first
told-year-first = year first
told-unclosed-mark = A quotation mark is never closed: the marks are read as ordinary characters.
told-other-sheets = The sheets { $others } look like logs too; only { $chosen } is read. Name the sheet to read another.
told-new-headings = Line { $line } holds new headings: the rows below it are read by them.
told-dates = Dates are read { $order }: { $why }
told-dates-short = the two-digit years seem to stand first.
told-dates-time = only so do they follow each other in time.
told-dates-oldest = so the oldest stand first; choose the order below if the newest do.
told-dates-day = the log's other signs are those of countries that write the day first.
told-dates-month = the log's units and clock are those of a country that writes the month first.
told-dates-nothing = nothing in the log says which; choose the order below if it is the other.
told-no-times = The log names no times of day: noon is taken.
told-without-time =
    { $n ->
        [one] One row names no time of day: noon is taken.
        *[other] { $n } rows name no time of day: noon is taken.
    }
told-without-day =
    { $n ->
        [one] One row names a time but no day: the day of the row above is taken.
        *[other] { $n } rows name a time but no day: the day of the row above is taken.
    }
told-fills-in-hours = Times of fills that the workbook holds as hours and minutes are read as minutes and seconds.
told-half-limit = “{ $text }” in “{ $heading }” is read as { $value }.
told-undated = Line { $line } (“{ $text }”) has no date: it is taken to follow the reading above it.
told-unstated-factor = “{ $heading }” is a salt meter's ppm without its factor: it is taken as { $factor } of the conductivity, and may be up to { $most }.
told-meter-ppm = “{ $heading }” names no unit: its numbers are read as the ppm of a salt meter.
told-unit-by-size = “{ $heading }” names no unit: by the size of its numbers it is read in { $unit }.
told-taken-bucket = “{ $heading }”: the water in the bucket is taken to be permeate.
told-taken-total = “{ $heading }”: a totaliser without a place is taken to count permeate.
told-taken-warm = “{ $heading }”: the feed is taken to be as warm as the water measured.
told-taken-flow = “{ $heading }”: a flow without a place is taken to be the permeate's.
told-taken-salt = “{ $heading }”: a salt reading without a place is taken to be the permeate's.
told-taken-chlorine = “{ $heading }”: chlorine without a place is taken to be measured after the carbon.
told-taken-hardness = “{ $heading }”: hardness without a place is taken to be measured after the softener.
told-taken-filters = “{ $heading }”: the pressure at the filters is taken to be before them.
told-taken-pumped = “{ $heading }”: a pressure without a place is taken to be the membranes', since the unit has a pump.
told-taken-inlet = “{ $heading }”: a pressure without a place is taken to be the inlet's.
told-taken-last = “{ $heading }”: the pressure after the last stage is taken as the membranes': nothing stands between.
told-date-column = Column { $column } holds the dates, though its heading does not say so.
told-read-as = “{ $heading }” is read as { $field }, since “{ $other }” is { $is }.
told-mapped-away = Not read: so it was chosen.
told-not-recognised = Not recognised as anything that is read.
told-no-such-unit = “{ $unit }” is no unit for this. Accepted: { $accepted }.
told-only-heading = Nothing but its heading.
told-unit-unknown = It names no unit for { $field }, and its numbers do not tell which.
told-same-as = It says the same as “{ $heading }” in another unit.
told-read-from = { $field }: read from “{ $heading }”.
told-headings-again = the headings again
told-other-headings = the headings of another table
told-of-another-table = it belongs to another table, with its headings in line { $line }
told-no-such-date = the date “{ $text }” cannot be read
told-only-date = only a date
told-only-remark = only a remark
told-summary = a summary of other rows, not a reading
told-no-date = no date
told-formula = a formula whose result is not stored in the file
told-date-for-number = a date or a time where a number is wanted
told-not-a-duration = not a duration
told-fill-in-no-time = a fill takes a time above 0
told-not-a-fill = not the time of a fill: accepted are seconds, 71 s, 1:11, 1 min 11 s
told-not-a-clock = not a time of day; noon is taken
told-which-part = which of { $parts } is meant by “{ $done }” is not said; no event is made of it
told-out-of-order = out of order: not between the dates of the lines above and below; taken as it stands

## do the work
work-title = Do the work
work-about = Choose what is to be done. The order of the steps is worked out from the plumbing of this unit, and proved against it, before you see it.
work-which = What is to be done
work-to-card = To the card
work-other = Only take out, look, and put back
work-only-look = Look at
work-whole = Work on the whole unit
work-whole-about = Each of these is a card of its own.
work-change = Change: { $parts }
work-wash = Wash: { $parts }
work-inspect = Look at: { $parts }
work-sanitise = Sanitise
work-descale = Descale the membranes
work-clean = Clean the membranes
work-commission = Put a new unit into service
work-lay-up = Lay it up for the winter
work-due = due { $day }
work-due-now = due now
work-at = Do the work: { $unit }
work-under-way = Work under way
work-begun = Begun { $when } by { $by }; steps done: { $n }.
work-go-on = Go on with it
work-how-long =
    { $n ->
        [one] One step.
        *[other] { $n } steps.
    } Waiting times together: { $minutes } minutes.
work-before = Before the first step
work-tools = At hand
work-carry = To carry in
work-read-cautions = I have read what stands under "Before the first step".
work-read-first = Tick this when you have read it. Nothing is begun yet.
work-read-label = What has to be read
work-begin = Begin
work-all-steps =
    { $n ->
        [one] The step
        *[other] All { $n } steps, to read beforehand
    }
work-refused = There is no card for this
work-refused-why = Saltmark gives no card where no order of steps is safe. When the unit has been altered, describe it anew ("As built") and choose again.
work-nothing-chosen = Nothing was chosen. Choose at least one part, or a work on the whole unit.
work-not-together = This can't be done in one card. Choose each part once, of the parts that this unit has; work on the whole unit goes alone.
work-unproved = The card could not be proved safe, so it is not shown. This is a fault of Saltmark. { $why }
work-choose-again = Choose again
work-no-longer-title = This card no longer holds
work-no-longer = The unit was described anew, or the program was renewed, since this work was begun: the steps are not the same. Steps done on the old card: { $n }. Look at the unit as it stands now, with valves, tubes and plugs, and choose again; then give the old card up.
work-give-up = Give it up
work-give-up-sure = I give this work up. What was marked stays in the records; nothing is written down as changed.
work-step = Step { $step } of { $n }
work-steps = Steps of the card
work-done-of = { $done } of { $n } steps done
work-all-done = All steps of the hand are done
work-is-done = Done.
work-not-yet = Not yet: steps before this one are still to be done.
work-to-now = To step { $step }, which is next
work-caution = Caution
work-caution-read = I have read this.
work-read-caution-first = Read the caution and tick it first.
work-see = What to see
work-why = Why:
work-relieved = From here on no part of this unit is under pressure.
work-what-seen = What was seen
work-what-seen-hint = Colour, slime, grit, a pinched O-ring. It is written down with the part when the work is finished.
work-takes = Takes { $minutes } minutes.
work-start-waiting = Start the time
work-waiting = Begun at { $begun }; over at { $over }.
work-time-over = The time is over.
work-wait-first = Start the time first; the step is done when it is over.
work-not-over = The time is not over yet: it ends at { $over }.
work-done = Done
work-done-and-seen = Done, and seen
work-undo = It has to be done again
work-back = Back
work-ahead = Look ahead
work-leave = Leave it for later, or give it up
work-leave-about = Nothing is lost when you leave: the work stands on the page of the unit, here and on every other device once this one has sent what it has.
work-finish-title = Prove it, and write it down
work-finish-about = Type temperature, supply pressure and feed of today first and press "Hold it against today": what the other readings should be is then worked out for today. Until then it is worked out for the last readings.
work-should = Should be { $expected } ({ $low } to { $high })
work-judge = Hold it against today
work-finish = Finish and write it all down
work-finish-one-go = Parts, what was seen, readings, remark and photographs are written down in one go, or not at all.
work-anyway = I finish all the same. That the proof does not pass is written down with it.
work-does-not-pass = The proof does not pass. Look at what is named above, read again, or tick this.
work-proof-passes = It passes: from now on this is what the unit does when it is right
work-proof-look = It does not pass: look at this
work-proof-other-day = These conditions can't be compared
work-proof-incomplete = Not proved: permeate flow and permeate conductivity are needed
work-proof-unjudged = Not proved: too little is known of the water or of today's conditions to say what it should be. Temperature, supply pressure and feed conductivity are needed.
work-below = less than it should be.
work-above = more than it should be.
work-other-day = not today's.
work-said-outside = Finished although the proof does not pass: { $values }
work-said-unproved = Finished without a proof.
work-finished = Finished { $when }.
work-given-up = Given up { $when }.
said-work-begun = Work begun: { $work }
said-work-finished = Work finished: { $work }
said-work-given-up = Work given up: { $work }
said-work-mark = A step of a work marked
phase-isolate = Shut off
phase-relieve = Let the pressure out
phase-open = Open
phase-change = The parts
phase-close = Close
phase-rinse = Rinse
phase-flush = Flush
phase-prove = Prove
phase-record = Write down

# What is wrong: how its figures are computed
trouble-tells = It is expected to tell { $bits } bits of what is wrong: the most for its time of all that can safely be done here.
how-chance = Chance of this cause
how-chance-words = Each cause has a weight: how often it is met, times how well it fits what was read, seen and found. Its chance is its weight's share of all weights; those too small to show in the sum are not listed. On simulated cases whose truth is known, such chances were off by three percentage points on average (docs/diagnose.md); they are no surer than the model is like this unit.
how-chance-rest = Chance of all other causes
how-chance-rest-words = All causes together are certain. What those with a line of their own leave over is that of the others; below is how the chance of the first of them is made up.
how-cause-weight = Weight of a cause
how-cause-weight-words = How often it is met, before anything is read, times how well it fits.
how-cause-frequency = How often it is met
how-cause-frequency-words = Each cause has a number for how often it is met among units that somebody looks at; ages, forecast, feed and running time raise or lower it. Its share of all of them is what it has before anything is read.
how-cause-fit = How well it fits
how-cause-fit-words = How likely it is that just this is read, seen and found if this is the cause, against the best fit of all causes, which has 1. Logarithms are added, which is to multiply likelihoods.
how-fit-values = Fit of flows, pressures and conductivities
how-fit-values-words = Where several parts may be at fault, each counts by its share. Below is how the likeliest of them fits.
how-part-fit = Fit of one part
how-part-fit-words = How bad it is nobody knows. So it is worked out for each of several severities, from slight to grave, and the mean is taken; those that add nothing to it are not listed. Below is how the best of them fits.
how-severity-fit = Fit of one severity
how-severity-fit-words = The unit is computed with this fault. How far what was read is from that, measured by what instruments, membranes and conditions may be off, is the misfit. A good fit has a misfit about as large as the number of values read.
how-chance-pair = Chance of both at once
how-chance-pair-words = The weight of these two together, as a share of the weights of all single causes and of all pairs that were looked at.
how-pair-weight = Weight of two at once
how-pair-weight-words = How often each is met, how much likelier than by chance they come together, and how well both together fit, against the best fit of a single cause. Somebody who looks after a unit rarely meets two faults at once, except where one leads to the other.
how-made = What it makes against its baseline
how-made-words = The permeate flow that was read, over that of the baseline. Where parts were renewed since, k is what that would have changed of it.
how-conditions = What conditions make of it
how-conditions-words = The unit is computed twice: as it was at its baseline, and with nothing but these conditions as they are today. The uncertainty is what the instruments that read the conditions may be off.
how-information = What the test is expected to tell
how-information-words = Doubt is measured in bits: one bit is a choice between two equally likely causes. A test is worth as much as it is expected to take off the doubt. Its results are gone through one by one, each with its probability; causes too unlikely to be looked at are taken to tell nothing.
how-doubt = Doubt now
how-doubt-words = The more causes are about equally likely, the greater the doubt; one certain cause leaves none.
how-doubt-after = Doubt after the test
how-doubt-after-words = The doubt that each result would leave, times the probability of that result. A result is a step of the display, or found and not found.
how-information-rate = What it tells by the minute
how-information-rate-words = The test that is asked for first tells most by the minute of work. To each test that is no question to the customer two minutes are added to walk and write, and half an hour where nothing was measured yet: somebody has to drive there.
how-times-as-likely = How many times as likely
how-times-as-likely-words = How likely this is with the cause, over how likely it is without it. Below 1 it speaks against the cause: 0.1 is ten times less likely.
how-weight-of-evidence = What it weighs
how-weight-of-evidence-words = The logarithm of how much likelier it is with the cause, in bits. What is read at one unit hangs together, so it is weighed alone, and once more after all the rest is known; the mean counts. More than 12 bits is not to be believed of a model.
how-flow-to-expect = The flow to expect with this cause
how-flow-to-expect-words = The unit is computed with each severity of this cause that still counts, from everything else that was read. The mean is taken by logarithms, by the probability of each severity.
how-conductivity-to-expect = The conductivity to expect with this cause
how-conductivity-to-expect-words = The unit is computed with each severity of this cause that still counts, from everything else that was read. The mean is taken by logarithms, by the probability of each severity.
how-pressure-to-expect = The pressure to expect with this cause
how-pressure-to-expect-words = The unit is computed with each severity of this cause that still counts, from everything else that was read. The mean is taken by the probability of each severity.
how-temperature-to-expect = The temperature to expect with this cause
how-temperature-to-expect-words = The unit is computed with each severity of this cause that still counts, from everything else that was read. The mean is taken by the probability of each severity.
symbol-chance = chance of a cause
symbol-chance-rest = chance of all other causes
symbol-cause-weight = weight of this cause
symbol-cause-weight-each = weight of each cause, the greatest first
symbol-cause-frequency = share before anything is read
symbol-cause-fit = fit, against the best of all causes
symbol-frequency-weight = how often this cause is met, as a number
symbol-frequency-weight-each = the same of each cause, the greatest first
symbol-frequency-parts = share of it that the parts of this unit can have
symbol-fit-values = logarithm of the fit of flows, pressures and conductivities
symbol-fit-chemistry = logarithm of the fit of chlorine, hardness and resin
symbol-fit-observed = logarithm of the fit of what was seen and heard
symbol-fit-looks = logarithm of the fit of what looks have found
symbol-fit-best = logarithm of the best fit of all causes
symbol-part-share = share of each part
symbol-part-fit = logarithm of the fit of each part
symbol-severity-fit = logarithm of the fit of each severity
symbol-severities = number of severities
symbol-misfit = misfit
symbol-values-read = number of values read
symbol-spread-of-values = how wide the values may spread: logarithm of the determinant
symbol-fit-again = what was read again with other instruments adds
symbol-severity-often = how often this severity is met against the others, as a logarithm
symbol-chance-pair = chance of both at once
symbol-pair-weight = weight of both at once
symbol-pair-weight-each = weight of each pair, the greatest first
symbol-pair-together = how much likelier than by chance they come together
symbol-pair-first = share of the first before anything is read
symbol-pair-second = share of the second before anything is read
symbol-pair-fit = fit of both, against the best single cause
symbol-made = what it makes, against its baseline
symbol-flow-baseline = permeate flow of the baseline
symbol-renewed = what renewed parts would have changed
symbol-by-conditions = what the conditions make of it
symbol-model-then = flow computed with the conditions of the baseline
symbol-model-now = flow computed with these conditions as of today
symbol-supply-then = supply pressure then
symbol-supply-now = supply pressure now
symbol-feed-then = salt of the feed then
symbol-feed-now = salt of the feed now
symbol-information = expected information, bits
symbol-share-looked-at = chance of all causes that are looked at
symbol-doubt = doubt now, bits
symbol-doubt-after = doubt after it, bits
symbol-chance-looked-at = chance of each cause that is looked at
symbol-chance-of-outcome = probability of each result
symbol-doubt-after-outcome = doubt that this result leaves, bits
symbol-information-rate = bits per minute
symbol-minutes-of-work = minutes of work
symbol-minutes-beside = minutes for the way and for writing
symbol-times-as-likely = times as likely
symbol-weight-of-evidence = weight of evidence, bits
symbol-likelihood-with = likelihood with this cause
symbol-likelihood-without = likelihood without it
symbol-orders = number of orders in which it is learnt
symbol-value-to-expect = value to expect
symbol-chance-of-severity = probability of each severity
symbol-value-of-severity = value with this severity

# The band in which a reading passes after a work
how-flow-passes-low = Lowest flow that passes
how-flow-passes-low-words = Sound units differ: by chance of new parts, by the instruments, by the conditions of the day. All of that together is s, a share of the value. Where of the feed only its salt content is known, or membranes were cleaned and may not be as new, the band reaches further.
how-flow-passes-high = Highest flow that passes
how-flow-passes-high-words = As the lowest, to the other side.
how-conductivity-passes-low = Lowest conductivity that passes
how-conductivity-passes-low-words = Sound units differ: by chance of new parts, by the instruments, by the conditions of the day. All of that together is s, a share of the value. Where of the feed only its salt content is known, or membranes were cleaned and may not be as new, the band reaches further.
how-conductivity-passes-high = Highest conductivity that passes
how-conductivity-passes-high-words = As the lowest, to the other side.
how-pressure-passes-low = Lowest pressure that passes
how-pressure-passes-low-words = Sound units differ: by chance of new parts, by the gauges, by the conditions of the day. All of that together is s.
how-pressure-passes-high = Highest pressure that passes
how-pressure-passes-high-words = As the lowest, to the other side.
how-chlorine-passes = Chlorine that may pass the carbon
how-chlorine-passes-words = Sound carbon lets none through; a test kit does not show less than this. It is the limit of the unit's description, or the usual one where that has none.
how-hardness-passes = Hardness that may pass the softener
how-hardness-passes-words = A sound softener leaves a little. What is described of it counts twice, since a test kit has steps; less than a grain is no fault.
how-mixed-bed-passes = Conductivity that may pass the mixed bed
how-mixed-bed-passes-words = Pure water has 0.055 µS/cm; a fresh bed in a housing leaves a little more.
symbol-passes-low = lowest value that passes
symbol-passes-high = highest value that passes
symbol-value-of-model = what the model gives with the new parts
symbol-pass-deviations = standard deviations to either side
symbol-spread-of-sound = spread of sound units, one standard deviation
symbol-wider-bound = bound by what else may be (another composition of the feed, membranes as they were); where there is nothing else, by the spread of sound units
symbol-hardness-grain = one grain per US gallon, as CaCO₃
symbol-hardness-usual = what the softener usually leaves
symbol-mixed-bed-most = most after a fresh bed
