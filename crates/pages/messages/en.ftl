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
percent = { $n } %
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

## Not saved

not-kept-full-title = Not saved: the storage is full
not-kept-full = Nothing of this was kept. Make room, then send it again; what was saved before is still there.
not-kept-title = Not saved
not-kept = Nothing of this was kept. Send it again; what was saved before is still there.
not-kept-file = Go one page back: the form still has what you chose there.
not-kept-again = Send it again
