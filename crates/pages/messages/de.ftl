# Was auf den Seiten steht, auf Deutsch. Jeder Schlüssel steht in jeder Sprache; ein Test sagt, was fehlt oder nicht gebraucht wird.

## frame
skip = Zum Inhalt springen
nav-main = Hauptseiten
nav-above = Wo diese Seite steht
nav-due = Fällig
nav-sites = Standorte
nav-customers = Kunden
caution = Wasser unter Druck, Strom neben Wasser, Chemikalien und Trinkwasser können Menschen schaden. Saltmark rechnet und führt Buch; die örtlichen Vorschriften für Installation und Elektrik und das Wort einer zugelassenen Fachkraft gehen vor.
waiting-none = Arbeitet ohne den Server. Alles ist gesendet.
waiting =
    { $n ->
        [one] Ein Eintrag wartet darauf, gesendet zu werden.
        *[other] { $n } Einträge warten darauf, gesendet zu werden.
    }
to-due = Zu dem, was fällig ist
not-found-title = Nicht gefunden
not-found = Unter dieser Adresse steht nichts. Vielleicht ist der Eintrag auf diesem Gerät noch nicht angekommen.
not-that-way = Das geht unter dieser Adresse nicht.
refused-title = Nicht angenommen
refused-origin = Dieses Formular kam nicht von Saltmarks eigenen Seiten, deshalb wurde nichts aufgeschrieben. Bitte die Seite hier öffnen und noch einmal senden.
refused-no-form = Was gesendet wurde, ist kein Formular; es wurde nichts aufgeschrieben.
choose = Bitte wählen
optional = (wenn bekannt)
save = Speichern
name = Name
note = Bemerkung
reason = Warum
when = Wann
day = Tag
wrong = Hier steht { $read }. Möglich: { $accepted }.
wrong-title =
    { $n ->
        [one] Ein Feld braucht noch einen Blick; gespeichert ist noch nichts
        *[other] { $n } Felder brauchen noch einen Blick; gespeichert ist noch nichts
    }
wrong-empty = Das darf nicht leer sein.
wrong-long = Das ist zu lang oder enthält Zeichen, die man nicht drucken kann. Möglich: bis 4000 Zeichen, ein Name bis 80.
wrong-choice = Das steht nicht zur Wahl.
wrong-future = Das liegt in der Zukunft. Möglich: eine Zeit bis jetzt.
wrong-nothing-read = Es wurde nichts abgelesen. Möglich: mindestens ein Wert oder eine Bemerkung.
accepted-time = ein Tag und eine Zeit wie 2025-01-14T09:20
percent = { $n } %
list = { $first } und { $last }
date = { $day }. { $month } { $year }
month-1 = Januar
month-2 = Februar
month-3 = März
month-4 = April
month-5 = Mai
month-6 = Juni
month-7 = Juli
month-8 = August
month-9 = September
month-10 = Oktober
month-11 = November
month-12 = Dezember
describe-anew = Neu beschreiben

## quantities
wrong-comma = Hier steht { $read }; das kann { $decimal } oder { $grouped } heißen. Möglich ist: { $decimal } mit Punkt, oder { $grouped } ohne Komma.
wrong-two-units = Hier steht { $read }; { $unit } kann { $first } oder { $second } heißen. Möglich ist: eines von beiden, ausgeschrieben.
wrong-no-factor = Hier steht { $read }. Das ppm eines Messgeräts hängt von seinem Faktor ab: es sind { $half } µS/cm mit dem üblichen Faktor 0.5 und { $seven } µS/cm mit 0.7. Möglich ist: { $read } @0.5 oder { $read } @0.7.
accepted-range = { $lowest } bis { $highest }
accepted-yes-or-no = Ja, Nein, oder nichts
accepted-flow = L/h, L/min, mL/min, L/d, m3/h, m3/d, gpm, gph, gpd, oder eine gestoppte Füllung wie 500 mL in 71 s
accepted-volume = L, mL, m3, gal (US), imp gal, ft3
accepted-pressure = kPa, bar, mbar, MPa, psi, kg/cm2, atm, m oder ft Wassersäule, wie das Manometer es zeigt
accepted-temperature = C, F, K
accepted-conductivity = uS/cm, mS/cm, S/m, MOhm cm, oder 350 ppm @0.5
accepted-salt = mg/L, g/L, oder was ein Messgerät zeigt, mit seinem Faktor, wie 350 ppm @0.5
accepted-concentration = mg/L, ug/L, g/L, ppm, ppb, mmol/L, meq/L
accepted-hardness = mg/L as CaCO3, ppm, gpg, dH, fH, Clark, mmol/L, meq/L
accepted-duration = min, s, h, d
accepted-turbidity = NTU, FNU
accepted-number = eine bloße Zahl
accepted-factor = ein Faktor des Messgeräts von 0.3 bis 1, meist 0.5 oder 0.7
accepted-gauge = was das Manometer zeigt (absolut weniger etwa 101 kPa)
accepted-one-value = eine Zahl allein, keine Grenze und keine Schätzung
accepted-possible = ein Wert, der möglich ist

## who
who-nobody = Wer ist hier?
who-title = Wer an diesem Gerät ist
who-name = Ihr Name
who-hint = Er steht neben allem, was auf diesem Gerät aufgeschrieben wird.

## due
due-headline =
    { $now ->
        [0] Jetzt ist nichts fällig
        *[other] { $now ->
            [one] Eine Anlage braucht jetzt einen Besuch
            *[other] { $now } Anlagen brauchen jetzt einen Besuch
        }
    }{ $soon ->
        [0] , und in dreißig Tagen nichts.
        [one] , eine weitere in dreißig Tagen.
        *[other] , { $soon } weitere in dreißig Tagen.
    } { $all ->
        [one] Eine Anlage ist
        *[other] { $all } Anlagen sind
    } in Betreuung.
due-empty = In diesem Buch steht noch keine Anlage.
due-now-title = Jetzt fällig
due-soon-title = In dreißig Tagen
due-later-title = In drei Monaten
due-rest-title = Später
due-waiting-title = Noch nicht berechnet
due-waiting = Eine Anlage öffnen, dann wird sie sofort berechnet; oder diese Seite gleich noch einmal ansehen.
due-more =
    { $n ->
        [one] Eine weitere; nach ihrem Namen suchen.
        *[other] { $n } weitere; nach ihren Namen suchen.
    }
due-stale = Seither wurde etwas aufgeschrieben; dies wird neu berechnet.
due-nothing-known = Nichts sagt, wann ein Teil fällig wird.
due-title = Wann jedes Teil fällig ist
due-now = { $part }: jetzt fällig, wegen { $reason }.
due-never = { $part }: in zehn Jahren nicht fällig.
due-on = { $part }: fällig am { $middle }, wegen { $reason }.
due-until = { $part }: fällig zwischen jetzt und { $last }, am ehesten { $middle }, wegen { $reason }.
due-between = { $part }: fällig zwischen { $first } und { $last }, am ehesten { $middle }, wegen { $reason }.
beyond-ten-years = einem Tag in mehr als zehn Jahren
limit-age = Alter
limit-volume = behandelter Wassermenge
limit-pressure-drop = Druckverlust
limit-free-chlorine-out = durchgelassenen Chlors
limit-permeate-flow-drop = verlorenen Permeats
limit-salt-passage-rise = Salzdurchgang
limit-pressure-drop-rise = Druckverlust an den Membranen
limit-need = dem, was die Anlage leisten soll
doubtful =
    { $n ->
        [one] Eine Ablesung passt
        *[other] { $n } Ablesungen passen
    } nicht zu den anderen.
reading-old = Die letzte Ablesung ist { $n } Tage alt.
reading-none = Es gibt noch keine Ablesung.
search = Nach Namen oder Ort suchen
search-go = Suchen
search-found =
    { $n ->
        [0] Nichts heißt
        *[other] { $n ->
            [one] Eine Anlage heißt
            *[other] { $n } Anlagen heißen
        }
    } „{ $words }“ oder steht dort.
search-all = Alle zeigen
came-in-title = Was in der letzten Woche dazukam
came-in-nothing = Nichts.

## parts
the-part = { $name }
part-sediment = Sedimentfilter
part-carbon = Aktivkohlefilter
part-softener = Enthärter
part-antiscalant = Antiscalant-Dosierung
part-pump = Druckerhöhungspumpe
part-regulator = Druckminderer
part-membrane = Membran
part-membranes = Membranen
part-mixed-bed = Mischbett
part-polish-carbon = Aktivkohle nach den Membranen
part-remineraliser = Aufhärtung
part-uv = UV-Lampe
part-restrictor = Drossel
instrument-feed-meter = Messgerät für das Rohwasser
instrument-permeate-meter = Messgerät für das Permeat
instrument-gauges = Manometer
instrument-thermometer = Thermometer
instrument-bucket = Eimer und Uhr

## verdict
verdict-title = Urteil
verdict-less = Am { $to } machte die Anlage { $percent } weniger Wasser als am { $from } mit neuen Membranen.
verdict-more = Am { $to } machte die Anlage { $percent } mehr Wasser als am { $from } mit neuen Membranen.
verdict-same = Am { $to } machte die Anlage so viel Wasser wie am { $from } mit neuen Membranen.
verdict-causes = Jedes für sich: { $causes }.
verdict-no-cause = Nichts hat sich so verändert, dass die Messgeräte es zeigen könnten.
verdict-unknown = Es gibt zu wenige Ablesungen, um zu sagen, was sich geändert hat.
verdict-membranes = Unter gleichen Bedingungen lassen die Membranen { $what } durch als neu.
verdict-as-new = Unter gleichen Bedingungen sind die Membranen wie neu.
let-water-less = { $percent } weniger Wasser
let-water-more = { $percent } mehr Wasser
let-water-times = { $times }-mal so viel Wasser
let-salt-less = { $percent } weniger Salz
let-salt-more = { $percent } mehr Salz
let-salt-times = { $times }-mal so viel Salz
cause-less = { $cause } { $percent } weniger
cause-more = { $cause } { $percent } mehr
cause-temperature-less = kälteres Wasser
cause-temperature-more = wärmeres Wasser
cause-inlet-pressure-less = niedrigerer Netzdruck
cause-inlet-pressure-more = höherer Netzdruck
cause-prefilters-less = die Filter vor den Membranen
cause-prefilters-more = freiere Filter vor den Membranen
cause-pump-less = weniger Druck von der Pumpe
cause-pump-more = mehr Druck von der Pumpe
cause-permeate-back-pressure-less = Druck auf der Permeatleitung
cause-permeate-back-pressure-more = weniger Druck auf der Permeatleitung
cause-osmotic-pressure-less = salzigeres Wasser an den Membranen
cause-osmotic-pressure-more = weniger salziges Wasser an den Membranen
cause-membrane-less = die Membranen
cause-membrane-more = die Membranen
advice-title = Was zu wissen und zu tun ist
advice-chlorine = Seit dem { $day } geht Chlor durch die Kohle (über { $limit }): zuerst die Kohle wechseln, dahinter messen, und erst dann neue Membranen einsetzen, sonst gehen sie wie die alten zugrunde.
advice-looks-scale = Weniger Wasser und mehr Salz bei gleichen Bedingungen: das tut Kalk. Das letzte Element und die Ausbeute ansehen, und eher entkalken als ersetzen.
advice-looks-fouling-or-scale = Weniger Wasser und etwas mehr Salz bei gleichen Bedingungen: Schmutz oder beginnender Kalk; eine Reinigung zeigt, was es ist.
advice-looks-fouling = Weniger Wasser bei gleichem Salzdurchgang: das tut Schmutz. Die Vorfilter ansehen, und eher reinigen als ersetzen.
advice-looks-oxidised = Der Strom ist wie neu, der Salzdurchgang aber vervielfacht: da Chlor durchgeht, werden die Membranen oxidiert, und das heilt keine Reinigung.
advice-looks-leak-or-oxidised = Mehr Salz bei gleichem Strom: das tut ein undichter O-Ring, oder die Membranen sind oxidiert. Das Permeat jedes Elements mit dem Messgerät prüfen, und hinter der Kohle auf Chlor.
advice-load = { $part }: nimmt { $drop }, auf { $give } genau, von { $limit } erlaubten; sauber sind es { $clean }.
advice-load-unclear = { $part }: wie voll, das sagen diese Manometer nicht. Der Druckabfall liest sich als { $drop }, auf { $give } genau; sauber sind es { $clean }, und die Grenze ist { $limit }.
advice-load-unknown = { $part }: wie voll, lässt sich nicht sagen. Seit dem Neuzustand gibt es keine Ablesung mit einem Manometer davor, einem dahinter und beiden Strömen.
advice-left-out =
    { $n ->
        [one] Eine Ablesung widerspricht den anderen und bleibt außer Betracht: in der Liste der Zweifel ansehen.
        *[other] { $n } Ablesungen widersprechen den anderen und bleiben außer Betracht: in der Liste der Zweifel ansehen.
    }
advice-old = Die letzte brauchbare Ablesung ist { $days } Tage alt: erst eine neue nehmen, dann entscheiden.
advice-nothing = Vor der nächsten Ablesung ist nichts zu tun.
litres-title = Wo die Liter geblieben sind
litres-caption = Was jede Ursache allein mit dem Permeatstrom gemacht hat
litres-cause = Ursache
litres-share = Änderung
litres-give = Unsicherheit
litres-total = Alles zusammen
give = ± { $percent }

## unit
unit-retired = Seit { $day } nicht mehr in Betreuung.
to-readings = Ablesen
to-event = Etwas wurde gemacht
to-note = Bemerkung schreiben
to-log = Logbuch
to-water = Wasser
to-unit = Zur Anlage
to-correct = Berichtigen
doubts-title = Im Zweifel und nicht mitgezählt
drawing-title = Die Anlage, wie sie gebaut ist
drawing-about = In der Reihenfolge, in der das Wasser fließt. „Erwartet“ ist, was das Modell für die Bedingungen vom { $day } berechnet, mit den Membranen in ihrem jetzigen Zustand; „abgelesen“ ist, was damals abgelesen wurde.
drawing-no-model = In der Reihenfolge, in der das Wasser fließt. Um zu berechnen, was an jeder Stelle steht, braucht es eine Ablesung mit Temperatur und Eingangsdruck und ein bekanntes Rohwasser.
drawing-feed = Rohwasser
drawing-valve = Mit Absperrventil
drawing-pump = Gibt bis { $pressure } dazu, wenn nichts fließt
drawing-after = Danach:
drawing-series = In Reihe: das Konzentrat der einen speist die nächste
drawing-parallel = Nebeneinander
drawing-at-membranes = Davor:
drawing-element = Macht { $flow } mit { $salt } Salz
drawing-permeate-side = Zum Tank
drawing-concentrate-side = Zum Abfluss
drawing-permeate = Permeat
drawing-check-valve = Mit Rückschlagventil
drawing-tank-open = Offener Tank
drawing-tank-pressurised = Drucktank
drawing-no-tank = Zapfstelle
drawing-shutoff-float = Ein Schwimmer stoppt die Anlage
drawing-shutoff-pressure = Gegendruck stoppt die Anlage
drawing-shutoff-none = Nichts stoppt die Anlage
drawing-flush-valve = Mit Spülventil daneben
drawing-drain = Abfluss
drawing-recovery = { $percent } des Rohwassers werden Permeat
drawing-both = { $expected } erwartet, { $read } abgelesen
drawing-expected = { $expected } erwartet
life-used = { $percent } der Lebensdauer verbraucht
life-now = jetzt fällig
life-until = fällig { $day }
history-title = Verlauf
history-none = Es gibt noch keine Ablesung.
history-about = Jede Ablesung auf gleiche Bedingungen umgerechnet: Wetter und Netz sind herausgenommen, übrig bleiben die Membranen.
history-alt = Permeatstrom und Salzdurchgang von { $name } im Verlauf, in Prozent des Neuzustands, mit Grenzen und Vorhersage. Die letzten Ablesungen stehen in der Tabelle darunter.
history-caption = Die letzten Ablesungen unter gleichen Bedingungen, gegenüber neu
history-flow = Permeatstrom
history-salt = Salzdurchgang
history-doubts = Im Zweifel
of-new = { $percent } ± { $give }
missing = Es fehlt:
chart-flow = Permeatstrom unter gleichen Bedingungen
chart-salt = Salzdurchgang unter gleichen Bedingungen
chart-drop = Druckverlust an den Membranen unter gleichen Bedingungen
chart-of-new = % von neu
chart-limit = Grenze
chart-due = Membranen fällig

## readings
readings-title = Ablesen
readings-about = In der Reihenfolge, in der man um die Anlage geht. Was nicht abzulesen ist, bleibt leer. Jede Maßeinheit geht: 58 psi, 4 bar, 500 mL in 71 s.
zone-hint = In der Zeitzone der Anlage ({ $zone }).
last-value = Zuletzt: { $value }, { $day }
fill-hint = Ein Durchfluss oder eine gestoppte Füllung wie 500 mL in 71 s.
more-to-read = Mehr abzulesen
observed-title = Was zu sehen war oder beklagt wurde
save-readings = Speichern und das Urteil sehen
stopwatch-start = Uhr starten
stopwatch-stop = Eimer ist voll: stopp
stopwatch-again = Noch einmal
spot-pressure-after = Druck nach: { $part }
spot-chlorine-after = Freies Chlor nach: { $part }
spot-conductivity-after = Leitfähigkeit nach: { $part }
spot-element = Leitfähigkeit des Permeats von: { $part }
saved-title = Ablesung gespeichert
saved = Gespeichert.
saved-right = Stimmt das?
saved-as-it-stands = Wenn es stimmt, so lassen: es bleibt, wie es ist, und zählt im Urteil nicht mit, bis andere Ablesungen dazu passen.
saved-missing = Für das ganze Urteil fehlt: { $fields }.
doubt-suggested = { $field }: { $read } passt nicht zu den anderen Ablesungen. { $suggested } würde passen.
doubt-plain = { $field }: { $read } passt nicht zu den anderen Ablesungen.
doubt-correct = Auf { $suggested } berichtigen

## what is wrong
trouble-title = Was ist los
trouble-about = Zuerst, was der Kunde am Telefon sagen kann: das spart oft die Fahrt. Dann eins nach dem anderen, das Aufschlussreichste zuerst. Jede Frage lässt sich überspringen.
trouble-from = Mit einer Ablesung beginnen
trouble-from-last = Mit der letzten, vom { $day }
trouble-from-none = Mit keiner: noch ist nichts abgelesen
trouble-not-known = Nicht bekannt
trouble-begin = Weiter zu dem, was es sein kann
trouble-no-model = Was los ist, lässt sich für diese Anlage nicht berechnen, weil ihre eigenen Daten nicht zu rechnen sind.
trouble-less = { $percent } weniger
trouble-more = { $percent } mehr
trouble-the-same = gleich viel
trouble-made = Sie macht { $made } als zu Beginn.
trouble-made-explained = Sie macht { $made } als zu Beginn; { $explained }.
trouble-explained = Gegenüber dem Beginn gilt: { $explained }.
trouble-condition = { $condition } macht für sich allein { $much }
trouble-condition-temperature-less = kälteres Wasser
trouble-condition-temperature-more = wärmeres Wasser
trouble-condition-inlet-pressure-less = niedrigerer Netzdruck
trouble-condition-inlet-pressure-more = höherer Netzdruck
trouble-condition-feed-less = salzigeres Rohwasser
trouble-condition-feed-more = weniger salziges Rohwasser
trouble-conditions-nothing = Temperatur, Netzdruck und Rohwasser von heute ändern daran nichts
trouble-conditions-together = { $each }, und alles zusammen { $all }
trouble-verdict = Am wahrscheinlichsten: { $first } ({ $chance }).
trouble-verdict-open = Noch sticht keine Ursache heraus; die erste von mehreren ist: { $first } ({ $chance }).
trouble-verdict-two = Am wahrscheinlichsten: { $first } ({ $chance }). Danach: { $second } ({ $other }).
trouble-next-title = Als Nächstes
trouble-minutes = Etwa { $n } Minuten.
trouble-to-expect = Zu erwarten ist:
trouble-expected = { $value }, falls gilt: { $cause }
trouble-safe-way = Der sichere Weg dorthin, Schritt für Schritt
trouble-wait = { $n } min
trouble-see = Zu sehen:
trouble-left-out = Eine andere Prüfung würde mehr sagen und entfällt: an dieser Anlage führt keine sichere Reihenfolge von Schritten dorthin ({ $part }).
trouble-permeate-line = Permeatleitung
trouble-go-on = Weiter
trouble-skip = Überspringen
trouble-skipped = übersprungen
trouble-end-title = Was zu tun ist
trouble-beyond-doubt = Eine Ursache steht außer Zweifel.
trouble-nothing-more = Nichts, was hier noch zu tun ist, würde es genauer sagen.
trouble-unsure = Noch ist keine Ursache so wahrscheinlich, dass sich der Wechsel eines Teils lohnt. Dies gilt für die erste:
trouble-cause = Ursache
trouble-do = Was zu tun ist:
trouble-part = Teil
trouble-urgency = Wie bald
trouble-urgency-none = Keine Eile
trouble-urgency-next-visit = Beim nächsten Besuch
trouble-urgency-soon = In den nächsten Wochen
trouble-urgency-now = Jetzt
trouble-left = Wenn es bleibt:
trouble-to-work = Zur Arbeit
trouble-causes-title = Was es sein kann
trouble-rest = Alle anderen Ursachen zusammen: { $chance }.
trouble-pair = Zwei zugleich erklären es vielleicht besser: { $first }, und { $second } ({ $chance }).
trouble-for = Spricht dafür
trouble-against = Spricht dagegen
trouble-no-reasons = Noch spricht nichts Bekanntes dafür oder dagegen; sie ist so wahrscheinlich, wie solche Ursachen eben sind.
trouble-fact-expected = { $field }: { $read } abgelesen, { $expected } mit dieser Ursache zu erwarten.
trouble-fact-read = { $field }: { $read } abgelesen.
trouble-fact-observed = { $what }: ja.
trouble-fact-denied = { $what }: nein.
trouble-fact-looked = { $question } { $answer }.
trouble-fact-again = Was mit einem anderen Gerät oder bei abgenommener Permeatleitung noch einmal gemessen wurde.
trouble-fact-no-water = Sie gibt kein Wasser.
trouble-fact-circumstances = Was von der Anlage bekannt ist: Alter, Vorhersage, Rohwasser, wie lange sie schon lief.
trouble-times-more = Mit dieser Ursache { $times }-mal so wahrscheinlich wie ohne sie.
trouble-times-less = Mit dieser Ursache { $times }-mal weniger wahrscheinlich als ohne sie.
trouble-times-most = Mit dieser Ursache mehr als { $times }-mal so wahrscheinlich wie ohne sie.
trouble-times-least = Mit dieser Ursache mehr als { $times }-mal weniger wahrscheinlich als ohne sie.
trouble-said-title = Was gesagt und abgelesen wurde
trouble-change = Ändern
trouble-change-label = Ändern: { $name }
trouble-anew = Von vorn beginnen
trouble-strange = Weggelassen: diese Anlage hat keine Frage { $name }.
trouble-baseline-impossible = Die Ablesung vom { $day } zu Beginn kann nicht von dieser Anlage sein: bei ihren eigenen Drücken flösse kein Wasser. Sie zählt nicht mit.
trouble-baseline-odd = Die Ablesung vom { $day } zu Beginn passt nicht zu den Nenndaten der Anlage. Bitte sie oder die Daten der Anlage prüfen.
trouble-keep-title = Aufheben
trouble-keep-about = Was abgelesen wurde, wird eine gewöhnliche Ablesung der Anlage; was zu sehen war und gesagt wurde, steht in ihrer Bemerkung.
trouble-keep = Abgelesenes aufheben
trouble-kept = Aufgehoben.
trouble-to-kept = Zum Eintrag
trouble-note = Was ist los? { $verdict }
trouble-short-again = Noch einmal, anders gemessen: { $what }
trouble-short-free = Permeatstrom ohne Leitung
yes = Ja
no = Nein
trouble-value-flow = Wie groß ist der Durchfluss?
trouble-value-pressure = Was zeigt das Manometer?
trouble-value-temperature = Wie warm ist es?
trouble-value-concentration = Wie viel ist es?
trouble-value-hardness = Wie hart ist es?
trouble-value-conductivity = Was zeigt das Messgerät?
chance-certain = so gut wie sicher
chance-very-likely = sehr wahrscheinlich
chance-likely = wahrscheinlich
chance-even = etwa so wahrscheinlich wie nicht
chance-unlikely = unwahrscheinlich
chance-very-unlikely = sehr unwahrscheinlich
chance-hardly = kaum möglich
trouble-how-feed-temperature = Ein Thermometer in das laufende Rohwasser halten.
trouble-how-inlet-pressure = Im Betrieb ein Manometer vor der ersten Stufe ablesen.
trouble-how-membrane-pressure = Im Betrieb ein Manometer am Zulauf der ersten Membran ablesen.
trouble-how-concentrate-pressure = Im Betrieb ein Manometer am Konzentrat vor der Drossel ablesen.
trouble-how-permeate-pressure = Im Betrieb ein Manometer an der Permeatleitung ablesen.
trouble-how-pressure-after = Im Betrieb ein Manometer nach diesem Teil ablesen: { $part }.
trouble-how-permeate-flow = Die Zeit stoppen, in der das Permeat einen Messbecher füllt.
trouble-how-concentrate-flow = Die Zeit stoppen, in der das Konzentrat am Abfluss einen Eimer füllt.
trouble-how-feed-conductivity = Die Leitfähigkeit des Rohwassers messen.
trouble-how-permeate-conductivity = Die Leitfähigkeit des Permeats vor jeder Nachbehandlung messen.
trouble-how-element-permeate-conductivity = Mit demselben Gerät die Leitfähigkeit des Permeats von diesem Teil allein und die des ganzen messen: { $part }.
trouble-how-free-chlorine-out = Nach der letzten Aktivkohle Wasser nehmen und innerhalb einer Minute sein freies Chlor messen.
trouble-how-hardness-out = Nach dem Enthärter Wasser nehmen und seine Härte messen.
trouble-how-conductivity-after = Die Leitfähigkeit des Wassers nach diesem Teil messen: { $part }.
trouble-how-permeate-flow-free = Die Permeatleitung nach den Membranen abnehmen, ein paar Minuten frei laufen lassen und das Permeat noch einmal stoppen.
trouble-how-flush-valve = Nachsehen, ob das Spülventil neben der Drossel dicht geschlossen ist.
trouble-how-restrictor = Die Drossel herausnehmen und nachsehen, ob sie frei von Kalk ist.
trouble-how-cartridge = Das Gehäuse öffnen und die Kartusche ansehen: { $part }.
trouble-how-run-half-an-hour = Sie eine halbe Stunde zum Abfluss laufen lassen und die Leitfähigkeit des Permeats noch einmal ablesen.
trouble-how-again-flow = Noch einmal stoppen, mit einem anderen Gefäß und länger: { $what }.
trouble-how-again-pressure = Mit einem anderen Manometer noch einmal ablesen: { $what }.
trouble-how-again-temperature = Mit einem anderen Thermometer noch einmal ablesen: { $what }.
trouble-how-again-conductivity = Mit einem anderen Gerät noch einmal messen, oder dieses erst in frischer Standardlösung prüfen: { $what }.
trouble-ask-flush-valve = Ist das Spülventil dicht geschlossen?
trouble-ask-restrictor = Ist Kalk in der Drossel?
trouble-ask-cartridge = Ist die Kartusche verschleimt oder zugesetzt? ({ $part })
trouble-ask-run-half-an-hour = Ist die Leitfähigkeit des Permeats um ein Fünftel oder mehr gefallen?
trouble-ask-observed-runs-to-drain-when-full = Läuft bei vollem Tank noch Wasser zum Abfluss?
trouble-ask-observed-no-water = Kommt überhaupt Wasser?
trouble-ask-observed-pump-silent = Summt die Pumpe, wenn der Tank nicht voll ist?
trouble-ask-observed-pump-short-cycles = Springt die Pumpe alle Augenblicke an und aus?
trouble-ask-observed-leak = Ist irgendwo Wasser, wo keines sein sollte?
trouble-ask-observed-tank-never-full = Wird der Tank je voll?
trouble-ask-observed-tank-delivers-little = Gibt ein voller Tank nur wenig, bis er leer ist?
trouble-ask-observed-uses-more = Wird mehr Wasser entnommen als früher?
trouble-ask-observed-taste-or-smell = Schmeckt oder riecht das Wasser?
trouble-ask-observed-brown-water = Ist das Wasser braun?
trouble-ask-observed-just-started = Stand sie bis eben still?
trouble-ask-observed-after-work = Hat jemand an der Anlage gearbeitet, seit sie zuletzt in Ordnung war?
trouble-means-free-chlorine-out = Mehr als die Grenze heißt: die Kohle ist erschöpft; keines spricht dagegen.
trouble-means-hardness-out = Mehr als eine Spur heißt: der Enthärter ist erschöpft.
trouble-means-conductivity-after = Fast so viel wie davor heißt: das Harz ist verbraucht; ein kleiner Teil davon spricht dagegen.
trouble-means-flush-valve = Offen oder undicht: darum läuft zu viel zum Abfluss. Zu: dann ist die Drossel selbst verdächtig.
trouble-means-restrictor = Kalk heißt: die Drossel ist zugesetzt; eine saubere spricht dagegen.
trouble-means-cartridge = Verschleimt oder zugesetzt: dort staut es sich. Sauber: weiter hinten suchen.
trouble-means-run-half-an-hour = Fällt sie, war es der Stillstand; bleibt sie, ist es ein Fehler.
trouble-means-observed-runs-to-drain-when-full = Ja deutet auf ein undichtes Absperr- oder Rückschlagventil; Nein spricht dagegen.
trouble-means-observed-no-water = Wenn nicht: zuerst Hahn, Stecker und Schalter ansehen.
trouble-means-observed-pump-silent = Wenn nicht: zuerst Hahn, Stecker und Schalter ansehen.
trouble-means-observed-pump-short-cycles = Ja deutet auf ein undichtes Ventil, einen Tank ohne Luft oder eine Pumpe ohne Zulauf.
trouble-means-observed-leak = Ja deutet auf eine Dichtung oder einen Schlauch, erst recht nach Arbeiten.
trouble-means-observed-tank-never-full = Wenn nicht: es wird zu wenig gemacht oder mehr entnommen als früher.
trouble-means-observed-tank-delivers-little = Ja deutet auf einen Tank, der seine Luft verloren hat.
trouble-means-observed-uses-more = Ja heißt: die Anlage kann in Ordnung und der Bedarf gewachsen sein.
trouble-means-observed-taste-or-smell = Ja deutet auf erschöpfte Kohle oder auf Rohwasser, das an den Membranen vorbeikommt.
trouble-means-observed-brown-water = Ja deutet auf die Filter vor den Membranen oder auf das Netz.
trouble-means-observed-just-started = Ja: das erste Wasser nach einem Stillstand ist salzig, und es vergeht.
trouble-means-observed-after-work = Ja deutet auf eine Dichtung oder einen Schlauch seit dieser Arbeit.
trouble-mind-gauge = Vorsicht: wo ein Manometer erst einzubauen ist, muss die Leitung vorher drucklos und die Pumpe vom Netz sein. Dem Arbeitsblatt folgen.
trouble-mind-permeate-line = Vorsicht: die Permeatleitung eines vollen oder unter Druck stehenden Tanks steht unter Druck. Das Wasser von allem Elektrischen fernhalten und weggießen: es ist nicht zum Trinken.
trouble-mind-housing = Vorsicht: nie unter Druck öffnen. Zuerst den Zulauf schließen, die Pumpe vom Netz trennen und den Druck ablassen.
trouble-mind-element-permeate = Vorsicht: wo die Permeatschläuche zusammenlaufen, sind sie einzeln abzunehmen, auf dem sicheren Weg. Die Sonde abspülen: Permeat wird vielleicht getrunken.
trouble-mind-electricity = Vorsicht: Wasser und Strom. Niemand öffnet den Kasten der Pumpe, um es herauszufinden.
trouble-mind-reagent = Vorsicht: die Probe mitsamt dem Reagenz weggießen.
trouble-is-sound = an der Anlage fehlt nichts
trouble-do-sound = Nichts wechseln.
trouble-left-sound = Es geht weiter wie bisher.
trouble-is-inlet-pressure-low = der Netzdruck ist niedrig
trouble-do-inlet-pressure-low = Nach einem halb geschlossenen Hahn, einem verstopften Sieb oder anderen Abnehmern sehen und an eine Druckerhöhungspumpe denken.
trouble-left-inlet-pressure-low = Sie macht zu wenig und salzigeres Wasser.
trouble-is-sediment-blocked = der Sedimentfilter ist zugesetzt
trouble-do-sediment-blocked = Die Sedimentkartusche wechseln, eine gefaltete auswaschen.
trouble-left-sediment-blocked = Der Durchfluss sinkt weiter, und eine Pumpe kann trocken laufen.
trouble-is-carbon-blocked = der Aktivkohlefilter ist zugesetzt
trouble-do-carbon-blocked = Die Kohlekartusche wechseln und die neue zum Abfluss spülen.
trouble-left-carbon-blocked = Der Durchfluss sinkt weiter, und der Bewuchs darin nimmt zu.
trouble-is-carbon-spent = die Aktivkohle ist erschöpft und lässt Chlor durch
trouble-do-carbon-spent = Die Kohle wechseln, bevor die Anlage weiterläuft.
trouble-left-carbon-spent = Chlor zerstört die Membranen, die ein Vielfaches der Kohle kosten, und keine Reinigung bringt sie zurück.
trouble-is-pump-weak = die Pumpe ist schwach
trouble-do-pump-weak = Netzspannung und Sieb vor der Pumpe prüfen, dann die Pumpe überholen oder wechseln. Arbeiten an der Elektrik sind Sache derer, die sie dürfen.
trouble-left-pump-weak = Sie macht zu wenig und salzigeres Wasser, bis die Pumpe stehen bleibt.
trouble-is-membrane-fouled = die Membran ist verschmutzt
trouble-do-membrane-fouled = Spülen, bei dem pH-Wert reinigen, der den Belag löst, und herausfinden, warum die Filter davor ihn durchließen. Sonst das Element wechseln.
trouble-left-membrane-fouled = Der Belag verdichtet sich und geht nicht mehr ab.
trouble-is-membrane-scaled = die Membran ist verkalkt
trouble-do-membrane-scaled = Bald mit Säure entkalken, dann die Ausbeute senken oder die Härte behandeln. Sonst das Element wechseln.
trouble-left-membrane-scaled = Der Kalk wächst auf sich selbst weiter und verletzt die Membran.
trouble-is-membrane-oxidised = die Membran ist von Chlor angegriffen
trouble-do-membrane-oxidised = Herausfinden, wie Chlor dorthin kam, und es abstellen, dann die Membranen wechseln. Neue sind vorher ebenso verloren.
trouble-left-membrane-oxidised = Das Salz steigt weiter.
trouble-is-core-seal-leak = ein O-Ring am Kernrohr der Membran ist undicht
trouble-do-core-seal-leak = Die O-Ringe am Kernrohr wechseln und das Rohr auf Kratzer ansehen.
trouble-left-core-seal-leak = Rohwasser gelangt ins Permeat, mit allem, was darin ist.
trouble-is-brine-seal-bypass = Rohwasser läuft an der Lippendichtung um die Membran herum
trouble-do-brine-seal-bypass = Die Lippendichtung wenden oder wechseln, die Lippe gegen den Zulauf.
trouble-left-brine-seal-bypass = Das Element wird zu langsam überströmt und verschmutzt.
trouble-is-restrictor-blocked = die Drossel ist teilweise zugesetzt
trouble-do-restrictor-blocked = Die Drossel wechseln oder ihr Röhrchen reinigen, und die Ausbeute prüfen.
trouble-left-restrictor-blocked = Das Konzentrat wird stärker und verkalkt die Membranen.
trouble-is-restrictor-worn = die Drossel lässt zu viel durch, oder das Spülventil ist offen
trouble-do-restrictor-worn = Das Spülventil schließen. Ist es zu, die Drossel oder das Spülventil wechseln.
trouble-left-restrictor-worn = Wasser wird vergeudet, und der Druck reicht vielleicht nicht.
trouble-is-permeate-back-pressure = etwas staut die Permeatleitung
trouble-do-permeate-back-pressure = Rückschlagventil, Schwimmerventil, Tank und alles ansehen, wodurch das Permeat läuft.
trouble-left-permeate-back-pressure = Sie macht zu wenig und salzigeres Wasser; rückwärts gedrücktes Permeat kann die Nähte einer Membran sprengen.
trouble-is-feed-changed = der Salzgehalt des Rohwassers hat sich geändert
trouble-do-feed-changed = Das Rohwasser messen, den Versorger fragen und Kalk und Ausbeute für das neue Wasser prüfen.
trouble-left-feed-changed = Das Permeat folgt dem Rohwasser, und ein härteres kann verkalken.
trouble-is-meter-fault = ein Messgerät zeigt falsch an
trouble-do-meter-fault = Dieses Gerät gegen einen Standard oder ein anderes prüfen, bevor ein Teil gewechselt wird.
trouble-left-meter-fault = Teile werden nach einer falschen Zahl gewechselt.
trouble-is-no-feed = kein Rohwasser erreicht die Membranen
trouble-do-no-feed = Absperrhahn, Magnetventil, Niederdruckschalter und Stecker ansehen, in dieser Reihenfolge.
trouble-left-no-feed = Es gibt kein Wasser.
trouble-is-shutoff-leaking = das Absperr- oder das Rückschlagventil ist undicht
trouble-do-shutoff-leaking = Zuerst das Rückschlagventil wechseln, dann die Absperrung.
trouble-left-shutoff-leaking = Wasser läuft Tag und Nacht zum Abfluss und verbraucht die Filter.
trouble-is-tank-precharge-lost = der Tank hat seine Luft verloren
trouble-do-tank-precharge-lost = Den Tank leeren und seine Luft bis zum Wert auf dem Schild aufpumpen. Ein Tank, der am Luftventil Wasser gibt, ist am Ende.
trouble-left-tank-precharge-lost = Der Tank gibt wenig, und die Anlage springt zu oft an.
trouble-is-softener-exhausted = der Enthärter ist erschöpft
trouble-do-softener-exhausted = Den Enthärter regenerieren und nach Salz und Zeituhr sehen.
trouble-left-softener-exhausted = Härte gelangt an die Membranen und verkalkt sie.
trouble-is-resin-exhausted = das Harz der Nachbehandlung ist verbraucht
trouble-do-resin-exhausted = Das Harz wechseln.
trouble-left-resin-exhausted = Das Wasser danach ist nicht besser, als die Membranen es machen, und vielleicht schlechter.
trouble-is-just-started = die Anlage ist gerade erst angefahren
trouble-do-just-started = Eine Viertel- bis halbe Stunde zum Abfluss laufen lassen und noch einmal ablesen.
trouble-left-just-started = Es vergeht von selbst.
trouble-is-seal-after-work = bei der letzten Arbeit wurde eine Dichtung gequetscht oder ein Schlauch vertauscht
trouble-do-seal-after-work = Durchgehen, was zuletzt gemacht wurde: Dichtungen, O-Ringe und Schläuche, eins nach dem anderen.
trouble-left-seal-after-work = Rohwasser gelangt ins Permeat, oder Wasser auf den Boden.
trouble-is-demand-up = es wird mehr Wasser entnommen als früher
trouble-do-demand-up = Fragen, was mehr braucht, und ausrechnen, ob ein zweites Element oder ein größerer Tank genügt.
trouble-left-demand-up = Der Tank läuft leer.

## events
event-title = Etwas wurde gemacht
event-caution = Hier aufschreiben, was gemacht wurde. Bevor ein Gehäuse geöffnet wird: Zulauf schließen, Pumpe vom Netz trennen, Druck ablassen und am Manometer sehen, dass er weg ist.
event-kind = Was gemacht wurde
event-part = An welchem Teil oder Messgerät
event-installed = eingebaut
event-changed = gewechselt
event-cleaned = gereinigt
event-rinsed = gespült
event-sanitised = desinfiziert
event-adjusted = eingestellt
event-calibrated = gegen einen Standard geprüft
event-feed-changed = Rohwasser gewechselt
event-stopped = außer Betrieb genommen
event-started = wieder in Betrieb genommen

## log and entries
log-title = Logbuch von { $name }
log-about =
    { $n ->
        [one] Ein Eintrag,
        *[other] { $n } Einträge,
    } neueste zuerst. Jeder zeigt beim Öffnen, was er zuerst sagte, und das Formular zum Berichtigen.
log-unreadable =
    { $n ->
        [one] Ein Eintrag war nicht zu verwenden
        *[other] { $n } Einträge waren nicht zu verwenden
    }
log-pages = Seiten des Logbuchs
log-newer = Neuere
log-older = Ältere
log-page = Seite { $page } von { $pages }
log-by = von { $by }
log-corrected = berichtigt
said-taken-back = Zurückgenommen
said-not-understood = Von einem neueren Programm geschrieben, und aufbewahrt
said-reading = Ablesung: { $values }
said-note = Bemerkung: { $text }
said-water = Wasser analysiert
said-installed = Anlage eingebaut
said-described = Anlage neu beschrieben
said-moved = Anlage umgezogen nach { $site }
said-retired = Anlage aus der Betreuung genommen
said-visit = Besuch: { $text }
said-import = Logdatei { $file } eingelesen, { $n } Ablesungen
said-set-aside = Zeile beiseite gelegt: { $cells } ({ $reason })
said-attachment = Unterlage oder Foto: { $name }
said-settings = Einstellungen gewählt
entry-title = Ein Eintrag
entry-trail = Was er sagte, von Anfang an
entry-written = Geschrieben { $at } von { $by }, auf { $device }
entry-as-written = Wie es getippt wurde
entry-correct = Berichtigen
entry-save = Berichtigung speichern
entry-take-back = Zurücknehmen
entry-take-back-about = Er zählt dann nicht mehr; was er sagte, bleibt hier lesbar.
entry-take-back-go = Zurücknehmen

## water
water-title = Wasser von { $name }
water-none = Dieses Rohwasser wurde nie analysiert. Für den Anfang genügt ein Feldkoffer: Leitfähigkeit, Härte, Alkalinität und pH.
water-impossible = Diese Werte können nicht zusammen in einem Wasser stehen.
water-keep-below = Die Ausbeute unter { $percent } halten: darüber enthält das Konzentrat mehr { $mineral } als erlaubt.
water-no-limit = Kein analysiertes Mineral begrenzt die Ausbeute.
water-words = Worauf das beruht
water-analysis = Die Analyse
water-new = Analyse eingeben
water-new-about = Was nicht gemessen wurde, bleibt leer; 0 heißt gemessen und nichts gefunden. Jede Einheit geht: 17 gpg, 12 dH, 210 mg/L as CaCO3.
water-kit = Feldkoffer
water-rest = Der Rest einer Laboranalyse
water-name = Wie es heißt
water-conductivity = Leitfähigkeit
water-hardness = Härte
water-alkalinity = Alkalinität
water-ph = pH
water-temperature = Temperatur
water-tds = Gelöste Salze (TDS)
water-calcium = Calcium
water-magnesium = Magnesium
water-sodium = Natrium
water-potassium = Kalium
water-chloride = Chlorid
water-sulfate = Sulfat
water-nitrate = Nitrat (als NO3)
water-silica = Kieselsäure (als SiO2)
water-iron = Eisen
water-manganese = Mangan
water-strontium = Strontium
water-barium = Barium
water-fluoride = Fluorid
water-ammonium = Ammonium (als NH4)
water-boron = Bor (als B)
water-phosphate = Phosphat (als PO4)
water-free-chlorine = Freies Chlor
water-chloramine = Chloramin
water-turbidity = Trübung
water-sdi = Silt Density Index
water-toc = Organischer Kohlenstoff (TOC)
water-said-only-salt = Bekannt ist nur der Salzgehalt ({ $salt } als Natriumchlorid): Ablagerungen lassen sich nicht beurteilen.
water-said-limit = { $with }: { $keep }.
water-said-at = Bei { $percent } Ausbeute liegt { $mineral } { $times }-fach über der Sättigung.
water-said-at-free = Bei { $percent } Ausbeute liegt kein bekanntes Mineral über der Sättigung.
water-with-both = Nach dem Enthärter, mit dem Antiscalant
water-with-softener = Nach dem Enthärter
water-with-antiscalant = Mit dem Antiscalant
water-with-neither = Ohne Enthärtung und Antiscalant
water-keep-nowhere = keine Ausbeute hält { $mineral } im erlaubten Bereich
water-keep-about = die Ausbeute unter etwa { $percent } halten, wo { $mineral } zuerst kommt
water-keep-likely = die Ausbeute unter etwa { $percent } halten (für das Angenommene zwischen { $low } und { $high }), wo { $mineral } zuerst kommt
water-keep-free = kein bekanntes Mineral begrenzt die Ausbeute unter 95 %
water-said-antiscalant = Mit einer Antiscalant-Stufe (die nur Calcit verändert) kommt { $mineral } zuerst, bei { $percent }.
water-said-antiscalant-free = Mit einer Antiscalant-Stufe (die nur Calcit verändert) begrenzt kein bekanntes Mineral die Ausbeute unter 95 %.
water-said-softener = Mit einem Enthärter (der Härte, Barium und Strontium nimmt) kommt { $mineral } zuerst, bei { $percent }.
water-said-softener-free = Mit einem Enthärter (der Härte, Barium und Strontium nimmt) begrenzt kein bekanntes Mineral die Ausbeute unter 95 %.
water-said-silica-stays = Keins von beiden verändert amorphe Kieselsäure; sie erlaubt { $percent }.
water-said-not-judged = Nicht analysiert, deshalb sind mögliche Ablagerungen daraus nicht beurteilt: { $fields }.
water-threat-free-chlorine = Freies Chlor { $read } (Grenze { $limit }): es oxidiert das Polyamid, und der Salzdurchgang steigt auf Dauer; wo keine Aktivkohle es nimmt, hat sich der Salzdurchgang nach etwa { $time } Betrieb verdoppelt.
water-threat-chloramine = Chloramin { $read } (Grenze { $limit }): Aktivkohle nimmt es mehrmals langsamer auf als freies Chlor, so dass ein für Chlor bemessenes Bett es zu den Membranen durchlässt; wo keine Aktivkohle es nimmt, hat sich der Salzdurchgang nach etwa { $time } Betrieb verdoppelt.
water-threat-turbidity = Trübung { $read } (Grenze { $limit }): sie belädt binnen Wochen die Sedimentstufe und dann die erste Membran.
water-threat-sdi = Silt Density Index { $read } (Grenze { $limit }): feine Teilchen verlegen binnen Wochen bis Monaten die erste Membran.
water-threat-iron = Eisen { $read } (Grenze { $limit }): es wird zu Rost, wo Sauerstoff oder Chlor dazukommt, verlegt binnen Wochen Stufen und Membranen und beschleunigt die Oxidation.
water-threat-manganese = Mangan { $read } (Grenze { $limit }): es wird zu schwarzem Oxid, wo Chlor dazukommt, verlegt binnen Wochen bis Monaten Stufen und Membranen und beschleunigt die Oxidation.
water-threat-toc = Organischer Kohlenstoff { $read } (Grenze { $limit }): er nährt Bewuchs auf den Membranen und verkürzt binnen Monaten das Leben der Aktivkohle.
water-hours = { $n } Stunden
water-days = { $n } Tagen
water-said-strong = Die Ionenstärke ist { $strength } mol/kg; die Chemie ist bis { $most } mol/kg geprüft.
water-said-strong-concentrate = Die Ionenstärke des Konzentrats ist { $strength } mol/kg; die Chemie ist bis { $most } mol/kg geprüft.
water-said-cations = Ladungsbilanz +{ $percent } %: es sind mehr Kationen, als der Rest ausgleichen kann. Eine Analyse liegt um mehr als 5 % daneben.
water-said-anions = Ladungsbilanz −{ $percent } %: es sind mehr Anionen, als der Rest ausgleichen kann. Eine Analyse liegt um mehr als 5 % daneben.
water-said-made-by-ions = Die Ionen ergeben eine Leitfähigkeit von { $made } bei 25 °C, abgelesen wurden { $read }: beides widerspricht sich.
water-said-made-by-kit = Härte, Alkalinität und die angegebenen Ionen ergeben eine Leitfähigkeit von { $made } bei 25 °C, abgelesen wurden { $read }: beides widerspricht sich.
water-said-made-by-given = Die angegebenen Ionen ergeben eine Leitfähigkeit von { $made } bei 25 °C, abgelesen wurden { $read }: beides widerspricht sich.
water-said-hardness = Gemessen wurde eine Härte von { $read }, Calcium und Magnesium ergeben { $made }; gerechnet wird mit den beiden Ionen.
water-said-tds-ratio = { $tds } gelöst auf { $conductivity } sind { $ratio } mg/L je µS/cm; natürliche Wässer liegen zwischen 0,45 und 0,9.
water-said-tds = Gemessen wurden { $read } gelöste Salze; die Ionen ergeben { $whole } mit ganzem Hydrogencarbonat und { $residue } als Abdampfrückstand.
water-said-alkalinity-raised = Eine Alkalinität von { $read } ist weniger, als pH { $ph } braucht ({ $least }); gerechnet wird damit, denn ein Feldkoffer kann beide nicht unterscheiden.
water-said-temperature = Die Temperatur fehlt: angenommen sind { $temperature }.
water-said-ph = Der pH fehlt: angenommen ist { $ph }.
water-said-ph-not-used = Der pH wurde nicht verwendet: ohne Alkalinität sagt er nichts über die Kohlensäure.
water-said-hardness-split = Calcium und Magnesium stammen aus der Härte: { $percent } davon Calcium, typisch für natürliche Wässer.
water-said-from-hardness = { $other } ist die Härte weniger den Anteil von { $given }.
water-said-salt-alone = Weder Ionen noch Härte oder Alkalinität sind angegeben: das eine Salz gilt als Natriumchlorid, und weder Ablagerungen noch Kohlendioxid lassen sich berechnen.
water-said-magnesium = Magnesium fehlt: angenommen im typischen Verhältnis zu Calcium.
water-said-calcium = Calcium fehlt: angenommen im typischen Verhältnis zu Magnesium.
water-said-alkalinity = Die Alkalinität fehlt: angenommen als das { $ratio }-Fache der Härte, in Äquivalenten, typisch für natürliche Wässer.
water-said-hardness-taken = Die Härte fehlt: angenommen im typischen Verhältnis zur Alkalinität.
water-said-hardness-of-cations = Die Härte fehlt: angenommen als typischer Anteil der Kationen.
water-said-filled = So ergänzt, dass die Ladungen sich ausgleichen, sonst in typischen Verhältnissen: { $fields }.
water-said-filled-conductivity = So ergänzt, dass die Ladungen sich ausgleichen und die Leitfähigkeit stimmt, sonst in typischen Verhältnissen: { $fields }.
water-said-filled-tds = So ergänzt, dass die Ladungen sich ausgleichen und die gelösten Salze stimmen, sonst in typischen Verhältnissen: { $fields }.
water-said-less-chloride = Vom Rest ist weniger Chlorid, als typisch wäre ({ $percent } davon), denn Sulfat leitet weniger, und die Leitfähigkeit verlangt es.
water-said-less-chloride-tds = Vom Rest ist weniger Chlorid, als typisch wäre ({ $percent } davon), denn die gelösten Salze verlangen es.
water-wrong-number = { $field }: mit { $read } lässt sich nicht rechnen.
water-wrong-range = { $field }: { $read } liegt außerhalb von { $least } bis { $most }.
water-wrong-alkalinity = Alkalinität: { $read } ist zu wenig für pH { $ph }, der mindestens { $least } braucht; bitte pH und Alkalinität prüfen.
water-wrong-carbon-dioxide = pH { $ph } bräuchte bei einer Alkalinität von { $alkalinity } { $gas } Kohlendioxid, mehr, als Wasser hält; bitte pH und Alkalinität prüfen.
water-wrong-salty = { $field }: das Wasser enthielte { $read } mol/kg Gelöstes; die Chemie reicht bis { $most } mol/kg.
water-wrong-nothing = Bitte mindestens Leitfähigkeit, gelöste Salze, Härte, Alkalinität oder ein Ion angeben.
water-wrong-permeate = Ein Permeat von { $read } ist weniger, als allein das Kohlendioxid des Rohwassers ergibt, { $floor }.
water-wrong-equilibrium = { $field }: mit diesem Wert war kein Gleichgewicht zu finden.
model-no-membranes = Die Anlage hat keine Membranen; eine Anlage hat eine bis acht.
model-unknown-part = { $id } ist kein Teil dieser Anlage mit einem solchen Zustand; sie hat { $known }.
model-input = { $field } ist { $read }; möglich ist: { $accepted }.
model-no-flow = Es fließt kein Wasser: an den Membranen stehen ganz ohne Strom { $membranes }, am Eingang { $inlet }. Nötig ist ein Druck über 0.
model-no-flow-pump = Es fließt kein Wasser: an den Membranen stehen ganz ohne Strom { $membranes }, am Eingang { $inlet }, die Pumpe eingerechnet. Nötig ist ein Druck über 0.
model-no-permeate = Kein Permeat: der Eingangsdruck erreicht an den Membranen nicht die { $needed }, über denen dieses Wasser Permeat gibt (osmotischer Druck { $osmotic }, Permeatdruck { $permeate }); es sind { $membranes }.
model-no-permeate-pump = Kein Permeat: die Pumpe erreicht an den Membranen nicht die { $needed }, über denen dieses Wasser Permeat gibt (osmotischer Druck { $osmotic }, Permeatdruck { $permeate }); es sind { $membranes }.
model-shut-off = Das Druckabsperrventil ist zu: das Permeat steht mit { $permeate } bei oder über 2/3 der { $feed } des Zulaufs.
model-runs-dry = { $element } in der parallelen Reihe ließe den ganzen Zulauf als Permeat durch und zöge Konzentrat der Nachbarn an ({ $percent } davon sind Permeat): die Durchlässigkeiten liegen zu weit auseinander, oder die Drossel lässt fast nichts durch.
model-water = Die Chemie des Wassers hat keine Lösung. { $why }
model-unsolved = Der Betriebszustand dieser Anlage war nicht zu finden ({ $what }); bitte melden Sie die Anlage.
saturation-title = Sättigung gegen Ausbeute
saturation-about = Je mehr vom Rohwasser Permeat wird, desto salziger ist der Rest. Über seiner Grenze kann ein Mineral ausfallen und als Belag auf den Membranen liegen.
saturation-alt = Sättigungsindex jedes Minerals im Konzentrat gegen die Ausbeute. Die Grenzen der Ausbeute stehen in der Tabelle.
saturation-caption = Sättigungsindex (log10) im Rohwasser, was im Konzentrat erlaubt ist, und die Ausbeute, unter der man bleibt
saturation-feed = Im Rohwasser
saturation-allowed = Erlaubt
saturation-below = Darunter bleiben
saturation-index = Sättigungsindex
saturation-allowed-for = erlaubt: { $minerals }
recovery = Ausbeute
mineral = Mineral
mineral-calcite = Calcit
mineral-aragonite = Aragonit
mineral-gypsum = Gips
mineral-barite = Baryt
mineral-celestite = Cölestin
mineral-fluorite = Fluorit
mineral-amorphous-silica = amorphe Kieselsäure

## how a figure was computed
how-these = Wie diese berechnet sind:
how-about = Die Zahl mit ihrer Gleichung, den Werten, die eingingen, woher jeder kam, und wie sicher sie ist. „±“ ist eine Standardabweichung: etwa zweimal von dreien liegt die Wahrheit darin.
how-caption = Was einging
how-inputs = Was einging in: { $figure }
how-symbol = Zeichen
how-meaning = Was es ist
how-value = Wert
how-from = Woher er kam
how-source = Quelle:
how-range = achtmal von zehn zwischen { $low } und { $high }
how-no-sd = ohne eigene Unsicherheit: so sicher wie das, was einging
how-days =
    { $n ->
        [1] 1 Tag
        *[other] { $n } Tage
    }
origin-read = an der Anlage abgelesen
origin-estimated = nicht abgelesen: aus der Hydraulik der Anlage ergänzt
origin-described = Beschreibung der Anlage: Etikett, Typenschild, Grenze
origin-analysed = Analyse des Rohwassers
origin-baseline = Ablesungen aus der Zeit, als die Membranen neu waren
origin-learned = aus allen Ablesungen zusammen gelernt
origin-constant = eine Konstante
origin-solved = durch Suche oder Simulation gefunden, so dass alle Gesetze zugleich gelten

how-recovery = Ausbeute
how-recovery-words = Der Anteil des Rohwassers, der zu Permeat wurde. Der Rest läuft in den Abfluss und nimmt das Salz mit.
how-feed-salt = Salz des Rohwassers
how-feed-salt-words = Ein Messgerät zeigt, wie gut Wasser leitet, nicht, was darin ist. Wie viel Salz zu einem Mikrosiemens gehört, ist von Wasser zu Wasser verschieden; darum gilt das eigene Verhältnis dieses Wassers.
how-permeate-salt = Salz des Permeats
how-permeate-salt-words = Wie beim Rohwasser, doch Kohlendioxid geht frei durch die Membran und leitet, ohne Salz zu sein; was es ausmacht, wird zuerst abgezogen.
how-feed-side = Mittleres Salz entlang der Membranen
how-feed-side-words = Vom Zulauf zum Abfluss wird das Wasser salziger. Dies ist das Mittel auf dem Weg, und dem begegnen die Membranen.
how-feed-osmotic = Osmotischer Druck an den Membranen
how-feed-osmotic-words = Salziges Wasser zieht Wasser durch die Membran zurück. Diesen Druck muss der Zulauf erst überwinden, bevor etwas entsteht.
how-permeate-osmotic = Osmotischer Druck des Permeats
how-permeate-osmotic-words = Dasselbe für das wenige Salz auf der anderen Seite, wo es hilft.
how-driving = Treibender Druck
how-driving-words = Was übrig bleibt, um Wasser hindurchzudrücken: der Druck an den Membranen, weniger den halben Abfall entlang ihnen, weniger den Druck auf dem Permeat, weniger das, was das Salz zurückzieht.
how-temperature-factor = Temperaturfaktor
how-temperature-factor-words = Warmes Wasser geht leichter durch eine Membran, etwa drei Prozent je Grad. 1 bedeutet 25 °C.
how-standard-flow = Permeatstrom bei gleichen Bedingungen
how-standard-flow-words = Was die Membranen bei 25 °C mit dem treibenden Druck der ersten Ablesungen gemacht hätten: ohne das Wetter und ohne den Zulaufdruck.
how-relative-flow = Permeatstrom gegenüber neu
how-relative-flow-words = Der Strom bei gleichen Bedingungen, geteilt durch den, als die Membranen neu waren. Was fehlt, ist Sache der Membranen: Belag, Kalk, Alter.
how-standard-salt = Salzdurchgang bei gleichen Bedingungen
how-standard-salt-words = Der Anteil des Salzes, der bei 25 °C, mit dem Strom und dem Rohwasser der ersten Ablesungen durchgegangen wäre. Mehr Strom verdünnt das Salz, Wärme lässt mehr durch; beides ist herausgerechnet.
how-relative-salt = Salzdurchgang gegenüber neu
how-relative-salt-words = Der Salzdurchgang bei gleichen Bedingungen, geteilt durch den, als die Membranen neu waren. Ein Anstieg erzählt von Kalk, von Chlor oder von einer undichten Dichtung.
how-standard-drop = Druckabfall bei gleichen Bedingungen
how-standard-drop-words = Der Abfall entlang der Membranen, wie er beim ersten Strom und 25 °C wäre. φ ist die Reibung im Kanal bei einem Strom und einer Temperatur.
how-relative-drop = Druckabfall entlang der Membranen gegenüber neu
how-relative-drop-words = Der Abfall bei gleichen Bedingungen, geteilt durch den, als die Membranen neu waren. Ein Anstieg erzählt von Schmutz im Kanal.

how-change = Änderung des Permeatstroms
how-change-words = Der Strom, wie er jetzt abgelesen wurde, geteilt durch den von damals. Daran ist nichts berichtigt; die Anteile daneben sagen, was ihn ausmachte.
how-by-temperature = Die Wassertemperatur allein
how-by-temperature-words = Um wie viel sich der Strom geändert hätte, wenn nur die Temperatur anders geworden wäre.
how-by-pressure = Ein Teil des treibenden Drucks allein
how-by-pressure-words = Der treibende Druck hat mehrere Teile, und was einer davon tat, hängt davon ab, welcher vorher kam. Darum ist sein Anteil das Mittel über alle Reihenfolgen, in denen sie sich hätten ändern können; alle Anteile zusammen sind das Ganze, bis zur letzten Stelle. Teile, die Druck wegnehmen, zählen unter null.
how-by-membrane = Die Membranen allein
how-by-membrane-words = Was Temperatur und treibender Druck nicht erklären, ist Sache der Membranen.
how-standing-water = Wasser, das die Membranen durchlassen, gegenüber neu
how-standing-water-words = Eine Linie durch die brauchbaren Ablesungen des letzten halben Jahres, jede gegenüber neu, abgelesen bei der letzten. Sie ist die Mitte aller Steigungen zwischen zwei Ablesungen, so dass eine wilde sie nicht bewegt.
how-standing-salt = Salz, das die Membranen durchlassen, gegenüber neu
how-standing-salt-words = Eine Linie durch die brauchbaren Ablesungen des letzten halben Jahres, jede gegenüber neu, abgelesen bei der letzten. Sie ist die Mitte aller Steigungen zwischen zwei Ablesungen, so dass eine wilde sie nicht bewegt.

how-due-by-age = Fällig nach dem Alter
how-due-by-age-words = Die Tage, die es dienen darf, weniger die, die es gedient hat.
how-due-by-many = Fällig nach dem Alter, oder früher nach einer anderen Grenze
how-due-by-many-words = Viele gleich wahrscheinliche Verläufe werden verfolgt, jeder bis das Teil die erste seiner Grenzen erreicht. Die Mitte dieser Tage ist die Antwort; einer von zehn liegt vor dem Bereich, einer von zehn danach.
how-due-by-volume = Fällig nach dem behandelten Wasser
how-due-by-volume-words = Die Kapazität, weniger das bisher Behandelte, geteilt durch das, was an einem Tag entsteht, in jedem von vielen gleich wahrscheinlichen Verläufen von Gebrauch und Bett. Die Mitte dieser Tage ist die Antwort.
how-due-by-drop = Fällig nach dem Druckabfall
how-due-by-drop-words = Der Widerstand eines Filters wächst mit dem filtrierten Wasser nach einem der Gesetze von Hermia; nach welchem und wie schnell, sagen seine Ablesungen und das Rohwasser. Jeder von vielen gleich wahrscheinlichen Verläufen wird verfolgt, bis der Abfall, beim üblichen Strom und 25 °C, die Grenze erreicht. Die Mitte dieser Tage ist die Antwort.
how-due-by-chlorine = Fällig wegen des Chlors, das durchkommt
how-due-by-chlorine-words = Die letzten zwei Ablesungen zeigen hinter der Kohle mehr Chlor als erlaubt, also ist sie jetzt fällig: Chlor zerstört Membranen.
how-due-by-flow = Fällig wegen verlorenen Permeatstroms
how-due-by-flow-words = Schmutz und Kalk nehmen Strom, während Wasser entsteht. Jeder von vielen gleich wahrscheinlichen Verläufen, aus dem gezogen, was die Ablesungen möglich lassen, wird verfolgt, bis der Strom bei gleichen Bedingungen so viel verloren hat, wie die Grenze erlaubt. Die Mitte dieser Tage ist die Antwort.
how-due-by-salt = Fällig wegen des Salzdurchgangs
how-due-by-salt-words = Alter, Chlor und Kalk lassen mehr Salz durch. Jeder von vielen gleich wahrscheinlichen Verläufen, aus dem gezogen, was die Ablesungen möglich lassen, wird verfolgt, bis der Salzdurchgang bei gleichen Bedingungen so weit gestiegen ist, wie die Grenze erlaubt. Die Mitte dieser Tage ist die Antwort.
how-due-by-channel = Fällig wegen des Druckabfalls entlang der Membranen
how-due-by-channel-words = Schmutz im Kanal erhöht den Abfall. Jeder von vielen gleich wahrscheinlichen Verläufen wird verfolgt, bis der Abfall bei gleichen Bedingungen so weit gestiegen ist, wie die Grenze erlaubt. Die Mitte dieser Tage ist die Antwort.
how-due-by-need = Fällig nach dem, was von der Anlage verlangt wird
how-due-by-need-words = Kaltes Wasser gibt weniger. Jeder von vielen gleich wahrscheinlichen Verläufen wird verfolgt, Woche für Woche bei der erwarteten Temperatur des Rohwassers, bis zur ersten Woche, in der die Anlage das Verlangte nicht schafft. Die Mitte dieser Tage ist die Antwort.
how-used-by-age = Verbrauchte Lebensdauer nach dem Alter
how-used-by-age-words = Die Tage, die es gedient hat, geteilt durch die, die es darf.
how-used = Verbrauchte Lebensdauer
how-used-words = Wie weit es auf dem Weg zu der Grenze ist, die es zuerst erreicht, geteilt durch den ganzen Weg, in jedem von vielen gleich wahrscheinlichen Verläufen. Die Mitte dieser Anteile ist die Antwort.
how-load = Was der Filter wegnimmt
how-load-words = Die Mitte der letzten drei Ablesungen der Manometer davor und dahinter, jede auf den üblichen Strom und 25 °C gebracht: kaltes Wasser und ein größerer Strom ließen einen sauberen Filter beladen aussehen.

how-feed-flow = Rohwasserstrom
how-feed-flow-words = Was hineingeht, kommt heraus, als Permeat und als Konzentrat.
how-behind-filter = Druck nach dem Filter
how-behind-filter-words = Ein sauberer Filter nimmt so viel bei seinem Strom auf dem Etikett; mehr bei mehr Strom und mehr in kaltem Wasser, das zäher ist.
how-behind-open = Druck
how-behind-open-words = Hier nimmt, soweit bekannt, nichts Druck weg.
how-behind-pump = Druck nach der Pumpe
how-behind-pump-words = Eine Druckerhöhung gibt am meisten ohne Strom, und nichts bei ihrem freien Strom.
how-behind-regulator = Druck nach dem Regler
how-behind-regulator-words = Ein Druckminderer lässt nicht mehr durch, als eingestellt ist.
how-element-flow = Permeat eines Elements
how-element-flow-words = Wasser geht durch jeden Quadratmeter im Verhältnis zu dem Druck, der nach dem osmotischen übrig bleibt. Das Element wird in kurzen Abschnitten vom Zulauf bis zum Ende verfolgt; J ist das Mittel dessen, was sie durchlassen.
how-permeate-flow = Permeatstrom
how-permeate-flow-words = Die Summe dessen, was die Elemente machen.
how-element-salt = Salz im Permeat eines Elements
how-element-salt-words = Salz geht durch im Verhältnis zu dem, was an der Membran steht; dort ist es β-mal so salzig wie im vorbeiströmenden Wasser, denn das Wasser, das geht, lässt sein Salz zurück. Mehr Wasser je Quadratmeter verdünnt, was durchgeht.
how-permeate-conductivity = Leitfähigkeit des Permeats
how-permeate-conductivity-words = Was ein Messgerät zeigen würde: was die durchgegangenen Ionen bei 25 °C leiten, und das Kohlendioxid, das mit ihnen durchging.
how-concentrate-pressure = Druck vor der Drossel
how-concentrate-pressure-words = Der Druck an den Membranen, weniger die Reibung in ihren Kanälen.
how-restrictor = Strom in den Abfluss
how-restrictor-words = Die Drossel lässt so viel beim Druck auf dem Etikett durch; bei anderem Druck und kälterem Wasser nach ihrem Gesetz.
how-concentrate-salt = Salz des Konzentrats
how-concentrate-salt-words = Das Salz, das kam, weniger das durchgegangene, in dem Wasser, das übrig ist. G ist, was Hydrogencarbonat, Carbonat und Kohlendioxid unter sich ändern, wenn das Wasser dichter wird.
how-predicted-recovery = Ausbeute
how-predicted-recovery-words = Der Anteil des Rohwassers, der zu Permeat wird.

how-saturation = Sättigungsindex
how-saturation-words = Wie weit das Wasser davon entfernt ist, ein Mineral auszuscheiden: der Logarithmus dessen, was davon gelöst ist, geteilt durch das, was gelöst sein kann. Bei 0 ist es eben voll; 1 ist zehnmal zu viel; unter 0 scheidet sich nichts aus.
how-allowed = Erlaubte Sättigung im Konzentrat
how-allowed-words = Ein wenig Calcit braucht länger, um sich zu bilden, als das Wasser zum Durchfließen; den anderen wird nichts nachgesehen. Ein Antiscalant erlaubt mehr.
how-keep-below = Ausbeute, unter der man bleiben soll
how-keep-below-words = Je mehr des Rohwassers zu Permeat wird, desto dichter ist, was bleibt: F-mal so dicht. Die Suche findet das F, bei dem die Sättigung des Minerals das Erlaubte erreicht.

how-slip-flow = Der Strom, der passen würde
how-slip-flow-words = Man verschreibt sich um zehn, mit Gallonen statt Litern, mit Stunden statt Minuten. Jeder solche Fehler wurde versucht, und dieser bringt die Ablesung wieder in Einklang mit denen davor und danach. Geändert wurde nichts.
how-slip-pressure = Der Druck, der passen würde
how-slip-pressure-words = Man verschreibt sich um zehn oder mit psi statt bar. Jeder solche Fehler wurde versucht, und dieser bringt die Ablesung wieder in Einklang mit denen davor und danach. Geändert wurde nichts.
how-slip-conductivity = Die Leitfähigkeit, die passen würde
how-slip-conductivity-words = Man verschreibt sich um zehn, mit ppm statt Mikrosiemens, mit einem Messgerät statt des anderen. Jeder solche Fehler wurde versucht, und dieser bringt die Ablesung wieder in Einklang mit denen davor und danach. Geändert wurde nichts.
how-slip-salt = Der Salzgehalt, der passen würde
how-slip-salt-words = Man verschreibt sich um zehn, mit Mikrosiemens statt ppm, mit einem Messgerät statt des anderen. Jeder solche Fehler wurde versucht, und dieser bringt die Ablesung wieder in Einklang mit denen davor und danach. Geändert wurde nichts.
how-slip-temperature = Die Temperatur, die passen würde
how-slip-temperature-words = Ein verrutschtes Komma wurde versucht, und es bringt die Ablesung wieder in Einklang mit der Jahreszeit. Geändert wurde nichts.
how-slip-fahrenheit = Die Temperatur, die passen würde
how-slip-fahrenheit-words = Das Abgelesene passt, wenn es Grad Fahrenheit waren und für Celsius gehalten wurde. Geändert wurde nichts.
how-slip-celsius = Die Temperatur, die passen würde
how-slip-celsius-words = Das Abgelesene passt, wenn es Grad Celsius waren und für Fahrenheit gehalten wurde. Geändert wurde nichts.

symbol-activity-product = Logarithmus der Ionen des Minerals, wie sie in diesem Wasser wirken, malgenommen
symbol-age = Tage, die es gedient hat
symbol-age-limit = Tage, die es dienen darf
symbol-allowed-index = erlaubter Sättigungsindex
symbol-as-read = wie abgelesen
symbol-as-read-bare = die Zahl, wie sie abgelesen wurde
symbol-baseline-driving = treibender Druck der ersten Ablesungen
symbol-baseline-drop = Druckabfall der ersten Ablesungen
symbol-baseline-feed = Salz des Rohwassers in den ersten Ablesungen
symbol-baseline-feed-side = mittleres Salz entlang der Membranen in den ersten Ablesungen
symbol-baseline-flow = Permeatstrom der ersten Ablesungen, bei gleichen Bedingungen
symbol-baseline-friction = Reibung beim ersten Strom und 25 °C
symbol-baseline-salt = Salzdurchgang der ersten Ablesungen, bei gleichen Bedingungen
symbol-by-back-pressure = der Druck auf dem Permeat allein
symbol-by-inlet = der Zulaufdruck allein
symbol-by-membrane = die Membranen allein
symbol-by-osmotic = der osmotische Druck allein
symbol-by-prefilters = die Filter vor den Membranen allein
symbol-by-pressure = dieser Teil allein
symbol-by-pump = die Pumpe allein
symbol-by-temperature = die Temperatur allein
symbol-carbonate-shift = was die Carbonate unter sich ändern
symbol-change = Änderung des Stroms, jetzt durch damals
symbol-channel-drop = Druckabfall entlang der Membranen
symbol-clean-drop = Abfall des sauberen Filters beim Strom auf dem Etikett
symbol-clean-drop-flow = Strom auf dem Etikett
symbol-concentrate-flow = Strom in den Abfluss
symbol-concentrate-pressure = Druck vor der Drossel
symbol-concentrate-salt = Salz des Konzentrats
symbol-concentration-factor = wievielmal so dicht wie das Rohwasser
symbol-conductivity-per-salt = Mikrosiemens je Milligramm im Liter dieses Permeats
symbol-courses = verfolgte Verläufe
symbol-driving-now = treibender Druck jetzt
symbol-driving-pressure = treibender Druck
symbol-driving-then = treibender Druck damals
symbol-due-in = Zeit, bis es fällig ist
symbol-due-in-course = Zeit, bis es in einem Verlauf fällig ist
symbol-element-feed-salt = Salz des Wassers, das zum Element kommt
symbol-element-flow = Permeat eines Elements
symbol-element-salt = Salz im Permeat des Elements
symbol-element-salt-passage = Anteil des Salzes, der durch dieses Element geht
symbol-fair-share = gerechter Anteil am Logarithmus
symbol-feed-conductivity = Leitfähigkeit des Rohwassers
symbol-feed-flow = Rohwasserstrom
symbol-feed-osmotic = osmotischer Druck an den Membranen
symbol-feed-salt = Salz des Rohwassers
symbol-feed-side-salt = mittleres Salz entlang der Membranen
symbol-flow-now = Permeatstrom jetzt
symbol-flow-then = Permeatstrom damals
symbol-flux = Permeat durch einen Quadratmeter in einer Stunde
symbol-friction = Reibung bei Strom und Temperatur dieser Ablesung
symbol-gas-conductivity = was Kohlendioxid davon ausmacht
symbol-keep-below = Ausbeute, unter der man bleiben soll
symbol-level-of-flow = Logarithmus des Stroms gegenüber neu, nach der Linie
symbol-level-of-salt = Logarithmus des Salzdurchgangs gegenüber neu, nach der Linie
symbol-life-used = verbrauchter Anteil der Lebensdauer
symbol-limit-chlorine = erlaubtes Chlor dahinter
symbol-limit-drop = erlaubter Druckabfall
symbol-limit-need = verlangte Liter am Tag
symbol-limit-share = erlaubte Änderung gegenüber neu
symbol-limit-volume = Liter, die es behandeln kann
symbol-membrane-area = Membranfläche
symbol-membrane-pressure = Druck an den Membranen
symbol-osmotic-curve = Krümmung des osmotischen Drucks: 1 für Kochsalz, 0 für eine Gerade
symbol-osmotic-slope = osmotischer Druck des Salzes dieses Wassers
symbol-permeate-conductivity = Leitfähigkeit des Permeats
symbol-permeate-flow = Permeatstrom
symbol-permeate-osmotic = osmotischer Druck des Permeats
symbol-permeate-pressure = Druck auf der Permeatseite
symbol-permeate-salt = Salz des Permeats
symbol-polarisation = wievielmal salziger es an der Membran ist
symbol-pressure-before = Druck davor
symbol-pressure-behind = Druck danach
symbol-pump-open = Strom, bei dem die Pumpe nichts gibt
symbol-pump-shutoff = was die Pumpe ohne Strom gibt
symbol-readings-used = benutzte Ablesungen
symbol-recovery = Ausbeute
symbol-relative-drop = Abfall gegenüber neu
symbol-relative-flow = Permeatstrom gegenüber neu
symbol-relative-salt = Salzdurchgang gegenüber neu
symbol-relative-viscosity = wievielmal zäher das Wasser ist als bei 25 °C
symbol-restrictor-exponent = Potenz des Drucks
symbol-restrictor-flow = Strom der Drossel auf dem Etikett
symbol-restrictor-pressure = Druck der Drossel auf dem Etikett
symbol-salt-per-conductivity = Milligramm im Liter je Mikrosiemens in diesem Wasser
symbol-saturation-index = Sättigungsindex
symbol-set-pressure = eingestellter Druck
symbol-slip-factor = Faktor des Fehlers
symbol-solubility-product = Logarithmus desselben Produkts, wo das Mineral eben voll ist
symbol-stage-drop = Abfall beim üblichen Strom und 25 °C
symbol-stage-drop-clean = Abfall, wenn sauber
symbol-stage-drop-read = Abfall einer Ablesung, beim üblichen Strom und 25 °C
symbol-standard-drop = Druckabfall bei gleichen Bedingungen
symbol-standard-flow = Permeatstrom bei gleichen Bedingungen
symbol-standard-salt = Salzdurchgang bei gleichen Bedingungen
symbol-standing-salt = durchgelassenes Salz, gegenüber neu
symbol-standing-water = durchgelassenes Wasser, gegenüber neu
symbol-temperature = Temperatur des Rohwassers
symbol-temperature-coefficient = Faktor je Grad
symbol-temperature-factor = Temperaturfaktor
symbol-temperature-now = Temperatur jetzt
symbol-temperature-then = Temperatur damals
symbol-term-now = der Teil jetzt
symbol-term-then = der Teil damals
symbol-usual-index = was üblich ist, oder die eigene Grenze der Anlage
symbol-viscosity-exponent = Potenz der Zähigkeit
symbol-way-gone = wie weit es in einem Verlauf ist
symbol-way-to-limit = der ganze Weg bis zur Grenze
symbol-would-fit = was passen würde

## sites and customers
site-new = Standort anlegen
site-place = Wo er ist
site-access = Wie man hineinkommt
site-way-in = Zugang: { $access }
site-customer = Wem er gehört
site-units = Anlagen hier
customer-new = Kunden anlegen
customer-phone = Telefon
customer-email = E-Mail
customer-address = Anschrift

## fields of a reading
field-feed-temperature = Temperatur des Rohwassers
field-inlet-pressure = Eingangsdruck
field-membrane-pressure = Druck vor den Membranen
field-concentrate-pressure = Konzentratdruck
field-permeate-pressure = Permeatdruck
field-permeate-flow = Permeatstrom
field-concentrate-flow = Konzentratstrom
field-feed-conductivity = Leitfähigkeit des Rohwassers
field-permeate-conductivity = Leitfähigkeit des Permeats
field-feed-tds = Salz des Rohwassers (TDS)
field-permeate-tds = Salz des Permeats (TDS)
field-permeate-total = Permeatzähler
field-feed-total = Rohwasserzähler
field-running-hours = Betriebsstundenzähler
field-feed-free-chlorine = Freies Chlor im Rohwasser
field-feed-total-chlorine = Gesamtchlor im Rohwasser
field-free-chlorine-out = Freies Chlor nach der Kohle
field-total-chlorine-out = Gesamtchlor nach der Kohle
field-hardness-out = Härte nach dem Enthärter
field-running-for = Wie lange sie schon lief
observed-runs-to-drain-when-full = Läuft zum Abfluss, obwohl der Tank voll ist
observed-no-water = Gar kein Wasser
observed-pump-silent = Die Pumpe ist still
observed-pump-short-cycles = Die Pumpe springt alle Augenblicke an und aus
observed-leak = Wasser, wo keines sein sollte
observed-tank-never-full = Der Tank wird nie voll
observed-tank-delivers-little = Ein voller Tank gibt wenig
observed-uses-more = Es wird mehr entnommen als früher
observed-taste-or-smell = Geschmack oder Geruch
observed-brown-water = Braunes Wasser
observed-just-started = Gleich nach dem Anfahren abgelesen
observed-after-work = Seit der letzten Arbeit an der Anlage

## a unit as built
to-unit-new = Anlage aufnehmen
to-plan = Wie sie gebaut ist: ändern
plan-new-title = Anlage aufnehmen
plan-new-about = Vom Typenschild eines Membranelements und dem, was man sieht. Was leer bleibt, wird mit Üblichem ausgefüllt und gezeigt, bevor etwas aufgeschrieben wird.
plan-title = { $name }: wie gebaut
plan-about = Woraus die Anlage besteht. Ein Teil, das nur durch ein neues ersetzt wurde, gehört unter „Etwas wurde gemacht“.
plan-trail = Was wann von wem beschrieben wurde
plan-how = Wie es dazu kam
plan-how-altered = Etwas wurde geändert: so von da an
plan-how-wrong = Was dasteht, war falsch: so von Anfang an
plan-labels-differ = Die Elemente haben verschiedene Typenschilder. Jedes wird unter „Etwas wurde gemacht“ gewechselt; hier bleiben sie, wie sie sind.
plan-look = Durchsehen
plan-look-title = Bevor es aufgeschrieben wird
plan-change-title = Vorher noch etwas ändern
plan-keep = Diese Anlage aufschreiben
plan-keep-altered = Das aufschreiben
plan-nothing-assumed = Alles ist, wie es angegeben wurde; nichts ist ausgefüllt.
plan-assumed-title = Ausgefüllt, weil es nicht angegeben war
plan-assumed-about = Das ist nicht an Ihrer Anlage abgelesen. Sehen Sie nach, ob es passt; Messungen berichtigen manches davon, nicht alles.
plan-assumed-what = Was
plan-assumed-value = Angenommen
plan-assumed-note = Beim Beschreiben der Anlage ausgefüllt, nicht gesehen: { $list }
source-practice = übliche Praxis, ohne Quelle
source-memory = typisch, aus dem Gedächtnis
source-d4516 = ASTM D4516
source-ledger = wie bei der zuletzt aufgenommenen Anlage
plan-site = Wo sie steht
plan-site-new = An einem Standort, der noch nicht im Buch steht
plan-site-name = Name des neuen Standorts
plan-customer-name = Name eines neuen Kunden
plan-since = Erster Tag im Betrieb
plan-zone = Zeitzone
plan-zone-hint = Ihr IANA-Name, etwa Europe/Lisbon. Zeiten in Protokollen werden in ihr gelesen.
plan-more = Weiteres
plan-label-title = Auf dem Typenschild des Membranelements
plan-label-about = Jedes Element der Anlage mit diesem Schild. Das Schild sagt, was es neu leistet, unter den Bedingungen, die es nennt.
plan-label-more = Was ein Schild noch sagen kann
plan-size = Größe
size-1812 = 1812: 1,8 mal 12 Zoll
size-2012 = 2012: 2 mal 12 Zoll
size-3012 = 3012: 3 mal 12 Zoll
size-2521 = 2521: 2,5 mal 21 Zoll
size-4021 = 4021: 4 mal 21 Zoll
size-2540 = 2540: 2,5 mal 40 Zoll
size-4040 = 4040: 4 mal 40 Zoll
plan-rated-flow = Permeat, das es liefert
plan-rated-flow-hint = Etwa 100 gpd oder 16 L/h.
plan-rated-rejection = Salz, das es zurückhält
plan-rated-rejection-hint = Etwa 97 %.
plan-rated-pressure = Bei diesem Druck
plan-rated-tds = Bei so viel Salz im Zulauf
plan-rated-tds-hint = Als Kochsalz; die ppm eines Schildes sind mg/L.
plan-rated-temperature = Bei dieser Temperatur
plan-rated-recovery = Bei dieser Ausbeute
plan-rated-recovery-hint = Der Anteil des Zulaufs, der zu Permeat wird, etwa 15 %.
plan-area = Membranfläche eines Elements
plan-count = Wie viele Elemente
plan-arrangement = Wie sie verbunden sind
plan-wrong-rating = Das kann keine Membran: bei { $pressure } und { $salt }, wenn { $rejection } % zurückgehalten werden und die Ausbeute { $recovery } ist, liefert selbst eine vollkommen offene { $most }, nicht { $flow }. Der osmotische Druck dieses Zulaufs ist { $osmotic }. Sehen Sie noch einmal nach den Einheiten auf dem Schild.
plan-stages-title = Vor den Membranen
plan-stages-about = In der Reihenfolge, in der das Wasser hindurchgeht. Was nicht da ist, bleibt leer.
plan-stage = { $n }. im Lauf
plan-stages-more = Noch mehr davon
plan-inlet-valve = Vor dem ersten davon steht ein Absperrventil
stage-spun = Sedimentfilter, gewickelt (Wegwerf)
stage-pleated = Sedimentfilter, gefaltet (waschbar)
stage-carbon = Kohlefilter, Aktivkohle
stage-catalytic = Kohlefilter, katalytisch
stage-other = Etwas anderes in einem Gehäuse
plan-pump-title = Zahlen der Pumpe oder des Druckminderers
plan-pump-open-flow = Pumpe: Durchfluss ohne Druckerhöhung
plan-pump-hint = Auf ihrem Schild als offener Durchfluss.
plan-pump-shutoff = Pumpe: Druckerhöhung ohne Durchfluss
plan-regulator-pressure = Druckminderer: eingestellter Druck
plan-drain-title = Zum Abfluss
plan-restrictor-flow = Drossel: Durchfluss
plan-restrictor-hint = Aufgedruckt, etwa 900 mL/min.
plan-restrictor-at = Bei diesem Druck
plan-restrictor-kind = Was sie ist
restrictor-capillary = Ein Stück feines Rohr
restrictor-orifice = Ein kleines Loch oder ein Nadelventil
plan-flush-valve = Ein Ventil um die Drossel herum, zum Spülen
plan-tank-title = Zum Tank
plan-tank = Tank
plan-tank-volume = Ganzes Volumen
plan-tank-precharge = Luftdruck, wenn er leer ist
plan-lift = Höhe von den Membranen bis zu seinem Einlauf
plan-shutoff = Was die Anlage anhält, wenn er voll ist
plan-tank-valve = Ein Ventil am Tank
plan-check-valve = Ein Rückschlagventil, wo das Permeat zusammenläuft
plan-wrong-tank = Diese Zahlen gehören zu einem Tank. Angenommen wird: eine Art von Tank, oder keine Zahlen.
plan-need-title = Was von ihr verlangt wird
plan-need-volume = Permeat, das am Tag gebraucht wird
plan-need-salt = Salz, das das Permeat haben darf
plan-coldest = Zulauf in der kältesten Woche
plan-warmest = Zulauf in der wärmsten Woche
plan-use = Permeat, das am Tag wirklich entnommen wird
plan-water-title = Ihr Wasser
plan-water-about = Aus einer Analyse oder einem Feldkoffer; es lässt sich auch später eintragen. Leer bleibt, was nicht gemessen wurde.
plan-wrong-two-sites = Oben ist ein Standort gewählt. Angenommen wird: das eine oder das andere.
plan-wrong-before = Was dasteht, ist vom { $day }. Angenommen wird: eine Zeit seitdem, oder dass die Beschreibung falsch war.
typical-clean-drop = { $part }: Druckverlust in sauberem Zustand
typical-at = { $drop } bei { $flow }
typical-worn = { $part }: verbraucht bei einem Druckverlust von
typical-age = { $part }: verbraucht nach
typical-year = 365 Tage
typical-chlorine = { $part }: verbraucht bei freiem Chlor danach von
typical-rinse = { $part }: neu in den Abfluss
typical-coefficient = Durchlässigkeit je Grad Wärme

## records brought in
to-import = Aufzeichnungen einlesen
import-title = Aufzeichnungen zu { $name } einlesen
import-about = Ein Messprotokoll, wie es geführt wurde: eine Tabelle, oder Text mit einer Zeile von Überschriften. Gezeigt wird, wie es verstanden wurde, bevor etwas aufgeschrieben wird; was schon eingelesen wurde, kommt nicht noch einmal hinzu.
import-file = Das Protokoll als Datei
import-file-hint = CSV, TSV und anderer Text, XLSX, XLS oder ODS; bis 20 MB.
import-pasted = Oder hier einfügen
import-pasted-hint = Mit der Zeile der Überschriften, aus einer Tabelle oder einer Nachricht kopiert.
import-pasted-name = eingefügter Text
import-nothing = Es wurde nichts gesendet. Angenommen wird: eine Datei oder eingefügter Text.
import-too-large = Das ist zu groß. Angenommen wird: bis 20 MB.
import-no-table = „{ $name }“ ist keine Tabelle. Angenommen wird: CSV, TSV und anderer Text, XLSX, XLS oder ODS.
import-would =
    { $readings ->
        [0] Keine Messung
        [one] Eine Messung
        *[other] { $readings } Messungen
    } und { $events ->
        [0] kein Ereignis
        [one] ein Ereignis
        *[other] { $events } Ereignisse
    } kämen hinzu{ $aside ->
        [0] .
        [one] ; eine Zeile bliebe, wie sie ist.
        *[other] ; { $aside } Zeilen blieben, wie sie sind.
    }
import-span = Von { $from } bis { $to }.
import-there =
    { $n ->
        [one] Eines davon wurde schon eingelesen und kommt nicht noch einmal hinzu.
        *[other] { $n } wurden schon eingelesen und kommen nicht noch einmal hinzu.
    }
import-same =
    { $n ->
        [one] Eine Zeile sagt, was das Buch von anderswo hat: kommt nicht hinzu.
        *[other] { $n } Zeilen sagen, was das Buch von anderswo hat: kommen nicht hinzu.
    }
import-repeated =
    { $n ->
        [one] Eine Zeile wiederholt eine darüber: kommt nicht hinzu.
        *[other] { $n } Zeilen wiederholen solche darüber: kommen nicht hinzu.
    }
import-again =
    { $n ->
        [one] Eine Zeile wird anders gelesen als zuvor: eine Berichtigung kommt hinzu.
        *[other] { $n } Zeilen werden anders gelesen als zuvor: Berichtigungen kommen hinzu.
    }
import-corrected =
    { $n ->
        [one] Eine Zeile wurde seither von Hand berichtigt: sie bleibt so.
        *[other] { $n } Zeilen wurden seither von Hand berichtigt: sie bleiben so.
    }
import-differs =
    { $n ->
        [one] Eine Zeile weicht von einer Messung zur selben Zeit ab: beide bleiben.
        *[other] { $n } Zeilen weichen von Messungen zur selben Zeit ab: beide bleiben.
    }
import-examples = Die ersten davon, wie sie dastünden
import-events = Was laut Bemerkungen gemacht wurde
import-set-aside = Zeilen, die sich nicht lesen ließen
import-set-aside-about = Sie werden aufbewahrt, wie sie sind, und lassen sich später im Protokoll der Anlage berichtigen.
import-line = Zeile { $line }:
import-cells = Zellen, die noch einmal anzusehen sind
import-more = { $n } weitere.
import-habits = Wie gelesen wurde
import-columns = Die Spalten
import-columns-about = Wofür jede Spalte gehalten wurde. Wo das falsch ist, etwas anderes wählen und noch einmal durchsehen.
import-heading = Überschrift in der Datei
import-read-as = Gelesen als
import-unit = Einheit bloßer Zahlen
import-date = Tag, oder Tag und Uhrzeit
import-time = Uhrzeit
import-by = Wer gemessen hat
import-ignore = Nicht verwendet
import-keep = Diese Aufzeichnungen behalten
import-nothing-new = Es steht nichts Neues darin.
import-choose-again = Dieses Protokoll ist zu groß, um mit der Seite zu reisen: die Datei vor dem Behalten noch einmal wählen.
import-look-again = Noch einmal durchsehen
import-another = Ein anderes Protokoll
import-how = Wenn die Datei selbst falsch gelesen wurde
import-order = Daten wie 3/4/2025 sind geschrieben
order-day = mit dem Tag zuerst
order-month = mit dem Monat zuerst
order-year = mit dem Jahr zuerst
import-header-line = Zeile der Überschriften
import-sheet = Blatt der Arbeitsmappe

## settings
nav-settings = Einstellungen
settings-person-title = Sie
settings-person = Sie sind { $name }.
settings-not-me = Jemand anderes ist hier
settings-nobody = Maßeinheiten und Sprache werden für jede Person behalten.
settings-measures = Maßeinheiten
measures-metric = Metrisch: bar, °C, L/h
measures-us = US: psi, °F, Gallonen
settings-language = Sprache
language-own-name = Deutsch
settings-own-units = Für manche davon eine eigene Einheit
settings-own-units-about = Was neben einen Wert getippt wird, wird von selbst zur eigenen Einheit; hier lässt sie sich ändern oder zurücknehmen.
kind-flow = Durchfluss
kind-volume = Volumen
kind-pressure = Druck
kind-temperature = Temperatur
kind-conductivity = Leitfähigkeit
kind-hardness = Härte und Alkalinität
settings-units-title = Messgeräte, und wann Teile als verbraucht gelten
settings-units-each = Eine Anlage wählen
settings-units-about = Sie gehören zu einer Anlage; dieselben Messgeräte lassen sich für alle Anlagen auf einmal setzen.
backup-title = Sicherung
backup-about = Das ganze Buch in einer Datei, wie es in diesem Augenblick ist. An einem anderen Ort als hier aufbewahren.
backup-go = Sicherung machen
restore-title = Wiederherstellen
restore-about = Eine Sicherung tritt an die Stelle dieses Buches. Was jetzt hier ist, bleibt als Datei daneben; Geräte geben wieder ab, was der Sicherung fehlt.
restore-file = Die Sicherung
restore-hint = Eine Datei, die mit „Sicherung machen“ oder mit saltmark backup gemacht wurde.
restore-go = Diese Sicherung wiederherstellen
restored-title = Wiederhergestellt.
restored = Das Buch hat die { $n } Einträge der Sicherung. Das vorige liegt daneben, unter einem Namen, der auf „before-restore“ und eine Zahl endet.
restore-nothing = Es wurde keine Datei gesendet. Angenommen wird: eine Sicherung eines Buches von Saltmark.
restore-no-ledger = Das ist kein Buch von Saltmark. Das Buch hier ist, wie es war.
restore-newer = Das ist ein Buch der Version { $found }, von einem neueren Saltmark geschrieben; dieses liest bis Version { $ours }. Das Buch hier ist, wie es war.
restore-cut-off = Diese Datei ist abgeschnitten: sie hat { $found } von { $expected } Bytes. Das Buch hier ist, wie es war.
restore-damaged = Diese Sicherung ist beschädigt. Das Buch hier ist, wie es war; eine frühere Sicherung versuchen.
restore-busy = Ein anderes Programm benutzt das Buch, deshalb wurde es nicht ersetzt. Noch einmal versuchen, wenn das beendet ist.
restore-full = Auf dem Datenträger ist dafür kein Platz. Das Buch hier ist, wie es war.
restore-too-large = Das ist größer als { $most } MB. Angenommen wird: eine kleinere Datei, oder saltmark restore auf dem Rechner selbst. Das Buch hier ist, wie es war.
restore-failed = Es ging nicht. Das Buch hier ist, wie es war.
export-title = Aufzeichnungen herausgeben
export-about = Für Tabellen und andere Programme: Berichtigungen eingesetzt, jede Zahl in der Einheit, die ihre Überschrift nennt.
export-workbook = Alles als Arbeitsmappe (XLSX)
export-units = Anlagen (CSV)
export-readings = Messungen (CSV)
export-events = Was gemacht wurde (CSV)
export-waters = Wasseranalysen (CSV)
export-set-aside = Zeilen, die sich nicht lesen ließen (CSV)
export-log = Jeder Eintrag, wie er geschrieben wurde (JSON-Zeilen)
needs-network-title = Das braucht das Netz
needs-network = Sicherung, Wiederherstellung, Herausgabe und alles Gedruckte macht der Server, aus dem ganzen Buch. Ohne Empfang müssen sie warten; inzwischen geht nichts verloren.

## printed cards and labels
to-labels = Etiketten drucken
paper-a4 = A4
paper-letter = Letter
print-title = Drucken
print-about = Gedruckte Karten und Etiketten macht der Server. Ohne Empfang müssen sie warten; was auf dieser Seite steht, geht inzwischen.
print-card = Arbeitskarte als PDF
print-customer = Einfache Karte für die Kundin oder den Kunden als PDF
print-not-for-customers = Diese Arbeit ist nichts für Kundinnen und Kunden allein
print-no-room-title = Das Etikett hat dafür keinen Platz
print-no-room = Was auf dem Etikett von { $of } stehen muss, hat auf einem Etikett von { $label } mm keinen Platz, und von einem Etikett wird nichts weggelassen.
print-roomy = Diese Bogen haben Platz für alles (Größe in mm, Papier):
print-unknown-title = So lässt sich das nicht drucken
print-unknown = Dieses Papier oder diesen Etikettenbogen gibt es nicht, oder es sind mehr Etiketten als gebraucht angegeben, als er hat. Gehen Sie zurück und wählen Sie noch einmal.
print-address = Die Adresse der Seite dieser Anlage ist zu lang für einen QR-Code, den ein Telefon liest: höchstens 300 Zeichen.
labels-about = Das Etikett der Anlage führt mit einem QR-Code zu ihrer Seite. Das Etikett eines Gehäuses sagt, was die nächste Hand wissen muss, bevor sie es öffnet, seit wann das Teil darin ist und ab wann es fällig sein kann. Die kleinen Größen fassen nur das Etikett der Anlage oder das eines Teils, zu dem wenig zu sagen ist.
labels-size = Größe eines Etiketts
labels-which = Welche Etiketten
labels-own = Das der Anlage
labels-skip = Etiketten des ersten Bogens, die schon gebraucht sind
labels-edges = Ränder zeichnen, für gewöhnliches Papier, das von Hand geschnitten wird
labels-print = PDF machen

## the doses and volumes of a card
work-how-doses = Wie die Mengen berechnet wurden:
work-how-expected = Wie berechnet wurde, was abzulesen sein soll
how-bleach = Bleiche für die Anlage
how-bleach-words = So viel Bleiche, dass alles Wasser in der Anlage das nötige Chlor hat. Die Karte rundet auf volle Milliliter auf.
how-empty-volume = Was die Anlage fasst
how-empty-volume-words = Gehäuse und Schläuche zusammen, ohne Patronen und Membranen; die Schläuche stehen zuletzt.
how-bath = Chemie für das Bad
how-bath-words = Gramm für jeden Liter mal Liter des Bads. Die Karte rundet auf volle Gramm.
how-bath-volume = Das Bad
how-bath-volume-words = Was in den Membrangehäusen steht, und was im Eimer bleiben muss, damit die Pumpe saugt, in vollen Litern.
how-element-volume = Was in den Membrangehäusen steht
how-element-volume-words = Die Kanäle auf der Rohwasserseite der Blätter und der Spalt um jedes Element.
how-rinse = Ausspülen der Kohle
how-rinse-words = Ein Vielfaches des Volumens der Kohle, und nie weniger als ein oder zwei Eimer, in vollen Litern.
how-rinse-stated = Ausspülen der Kohle
how-rinse-stated-words = Wie es in der Beschreibung der Anlage steht, in vollen Litern.
symbol-bleach-volume = Bleiche
symbol-empty-volume = was die Anlage fasst
symbol-chlorine-wanted = gewünschtes Chlor
symbol-chlorine-of-bleach = Chlor in der Bleiche
symbol-part-volume = was ein Teil fasst
symbol-grams = die Chemie, g
symbol-grams-per-litre = Stärke, g/L
symbol-bath-volume = das Bad
symbol-element-volume = was in den Membrangehäusen steht
symbol-spare-volume = was im Eimer bleibt
symbol-rounding-volume = aufgerundet um
symbol-channel-height = Höhe des Kanals, m
symbol-channel-porosity = Anteil des Kanals, der Wasser ist
symbol-vessel-volume = ein Membrangehäuse, nach der Größe des Elements
symbol-rinse-volume = womit ausgespült wird
symbol-rinse-beds = wie oft ihr Volumen
symbol-bed-volume = Volumen der Kohle
symbol-least-rinse = nie weniger als
symbol-rinse-stated = wie beschrieben

## instruments and limits
to-limits = Messgeräte und Grenzen
limits-title = { $name }: Messgeräte und Grenzen
limits-about = Womit die Anlage gemessen wird, und wann ihre Teile als verbraucht gelten. Wo ein Feld leer ist, gilt das Übliche.
limits-title-worn = Verbraucht bei
limits-saturation = Im Konzentrat erlaubter Sättigungsindex
limits-title-instruments = Messgeräte
limits-everywhere = Dieselben Messgeräte an allen anderen Anlagen
usual-where-empty = Wo es leer ist: { $value } (übliche Praxis, ohne Quelle).
limit-set-flow = Verlorener Permeatfluss, gegenüber neu
limit-set-salt = Mehr Salzdurchgang, gegenüber neu
limit-set-drop = Mehr Druckverlust über die Membranen, gegenüber neu
gauge-error = Manometer: Fehler
gauge-full-scale = Manometer: Endwert
thermometer-error = Thermometer: Fehler
bucket-error = Eimer und Uhr: Fehler eines Durchflusses
meter-scale = wovon seine ppm sind
meter-factor = ppm je µS/cm
meter-step = kleinster Schritt der Anzeige
meter-error = Fehler
meter-checked = zuletzt gegen einen Standard geprüft
scale-conductivity = Leitfähigkeit mal Faktor
scale-nacl = Kochsalz
scale-natural = Eine Mischung wie natürliches Wasser
import-columns-unknown = Die Spalten ließen sich nicht alle an ihren Überschriften erkennen. Unten wählen, was jede ist: wenigstens der Tag und ein Wert.
import-wrong-order = Unten wählen, was jede dieser Spalten ist: zwei lesen sich als dasselbe.

## photographs
photo = Foto
photos = Fotos und Papiere
photo-hint = JPEG, PNG, WebP, oder ein Papier als PDF; zusammen bis 20 MB.
photo-again = Das Foto noch einmal wählen: ein Browser behält es nicht, während etwas anderes berichtigt wird.
photo-wrong = „{ $name }“ ist kein Bild und kein PDF. Angenommen wird: JPEG, PNG, WebP, PDF.
photo-too-large = „{ $name }“ ist zu groß. Angenommen wird: bis 20 MB.
photo-too-many = Das sind zu viele auf einmal. Angenommen wird: bis { $most }.
photo-add = Foto hinzufügen

## Nicht gespeichert

not-kept-full-title = Nicht gespeichert: der Speicher ist voll
not-kept-full = Hiervon wurde nichts behalten. Erst Platz schaffen, dann noch einmal senden; was vorher gespeichert wurde, ist noch da.
not-kept-title = Nicht gespeichert
not-kept = Hiervon wurde nichts behalten. Bitte noch einmal senden; was vorher gespeichert wurde, ist noch da.
not-kept-file = Eine Seite zurück: das Formular hat noch, was dort gewählt war.
not-kept-again = Noch einmal senden

## what the reader of logs says
told-accepted = CSV, TSV und anderer Text mit Trennzeichen, XLSX, XLS und ODS
told-empty = Das Protokoll ist leer.
told-no-table = Das ist keine Tabelle. Angenommen: { $accepted }.
told-workbook = Die Arbeitsmappe lässt sich nicht öffnen: sie ist beschädigt oder geschützt. Angenommen: { $accepted }.
told-no-sheet = Die Arbeitsmappe hat kein Blatt { $wanted }; sie hat { $found }.
told-too-large = Das Protokoll ist zu groß: angenommen werden 4 GiB Text und eine Million Zellen in einer Zeile.
told-no-heading-row = Es gibt keine Überschriften: die Tabelle beginnt mit „{ $first }“. Eine Zeile mit Überschriften darüber schreiben.
told-no-rows = Die Überschriften stehen in Zeile { $line }, aber keine Zeile darunter ließ sich lesen. Die erste, Zeile { $first }: { $why }
told-only-headings = Die Überschriften stehen in Zeile { $line }, und darunter steht nichts.
told-mapping = So gewählt lassen sich die Spalten nicht lesen: Felder und Einheiten noch einmal ansehen, und jedes Feld nur einmal wählen.
told-text = Text in { $encoding }, Zellen getrennt durch { $delimiter }.
told-tab = Tabulator
told-semicolon = Semikolon
told-pipe = senkrechten Strich
told-comma = Komma
told-sheet = Arbeitsmappe, Blatt { $sheet }.
told-header-line = Überschriften in Zeile { $line }.
told-decimal-comma = Dezimalkomma.
told-decimal-point = Dezimalpunkt.
told-dates-written = Ein Datum steht so: { $order }.
told-clock-12 = Uhr mit 12 Stunden.
told-clock-24 = Uhr mit 24 Stunden.
told-day-first = Tag zuerst
told-month-first = Monat zuerst
told-year-first = Jahr zuerst
told-unclosed-mark = Ein Anführungszeichen wird nie geschlossen: die Zeichen werden wie gewöhnliche gelesen.
told-other-sheets = Auch die Blätter { $others } sehen wie Protokolle aus; gelesen wird nur { $chosen }. Für ein anderes das Blatt nennen.
told-new-headings = In Zeile { $line } stehen neue Überschriften: die Zeilen darunter werden nach ihnen gelesen.
told-dates = Ein Datum wird gelesen mit { $order }: { $why }
told-dates-short = die zweistelligen Jahre stehen wohl vorn.
told-dates-time = nur so folgen sie in der Zeit aufeinander.
told-dates-oldest = so stehen die ältesten vorn; stehen die neuesten vorn, die Folge unten wählen.
told-dates-day = auch sonst ist das Protokoll geschrieben wie in Ländern, die den Tag zuerst schreiben.
told-dates-month = Einheiten und Uhr sind die eines Landes, das den Monat zuerst schreibt.
told-dates-nothing = nichts im Protokoll sagt, wie; ist es anders, die Folge unten wählen.
told-no-times = Das Protokoll nennt keine Uhrzeiten: Mittag wird angenommen.
told-without-time =
    { $n ->
        [one] Eine Zeile nennt keine Uhrzeit: Mittag wird angenommen.
        *[other] { $n } Zeilen nennen keine Uhrzeit: Mittag wird angenommen.
    }
told-without-day =
    { $n ->
        [one] Eine Zeile nennt eine Uhrzeit, aber keinen Tag: der Tag der Zeile darüber gilt.
        *[other] { $n } Zeilen nennen eine Uhrzeit, aber keinen Tag: der Tag der Zeile darüber gilt.
    }
told-fills-in-hours = Füllzeiten, die in der Arbeitsmappe als Stunden und Minuten stehen, werden als Minuten und Sekunden gelesen.
told-half-limit = „{ $text }“ in „{ $heading }“ wird als { $value } gelesen.
told-undated = Zeile { $line } („{ $text }“) hat kein Datum: sie gilt als kurz nach der Ablesung darüber.
told-unstated-factor = „{ $heading }“ sind die ppm eines Salzmessers ohne dessen Faktor: angenommen wird { $factor } der Leitfähigkeit; es kann bis { $most } sein.
told-meter-ppm = „{ $heading }“ nennt keine Einheit: die Zahlen werden als ppm eines Salzmessers gelesen.
told-unit-by-size = „{ $heading }“ nennt keine Einheit: nach der Größe der Zahlen wird in { $unit } gelesen.
told-taken-bucket = „{ $heading }“: das Wasser im Eimer gilt als Permeat.
told-taken-total = „{ $heading }“: ein Zähler ohne Ort gilt als der des Permeats.
told-taken-warm = „{ $heading }“: das Rohwasser gilt als so warm wie das gemessene Wasser.
told-taken-flow = „{ $heading }“: ein Strom ohne Ort gilt als der des Permeats.
told-taken-salt = „{ $heading }“: ein Salzwert ohne Ort gilt als der des Permeats.
told-taken-chlorine = „{ $heading }“: Chlor ohne Ort gilt als hinter der Kohle gemessen.
told-taken-hardness = „{ $heading }“: Härte ohne Ort gilt als hinter dem Enthärter gemessen.
told-taken-filters = „{ $heading }“: der Druck an den Filtern gilt als der davor.
told-taken-pumped = „{ $heading }“: ein Druck ohne Ort gilt als der an den Membranen, denn die Anlage hat eine Pumpe.
told-taken-inlet = „{ $heading }“: ein Druck ohne Ort gilt als der am Eingang.
told-taken-last = „{ $heading }“: der Druck hinter der letzten Stufe gilt als der an den Membranen: nichts steht dazwischen.
told-date-column = In Spalte { $column } stehen die Tage, obwohl die Überschrift es nicht sagt.
told-read-as = „{ $heading }“ wird als { $field } gelesen, denn „{ $other }“ ist { $is }.
told-mapped-away = Nicht gelesen: so gewählt.
told-not-recognised = Nicht als etwas erkannt, das abgelesen wird.
told-no-such-unit = „{ $unit }“ ist dafür keine Einheit. Angenommen: { $accepted }.
told-only-heading = Nichts als die Überschrift.
told-unit-unknown = Sie nennt keine Einheit für { $field }, und die Zahlen sagen nicht, welche.
told-same-as = Sie sagt dasselbe wie „{ $heading }“ in einer anderen Einheit.
told-read-from = { $field }: gelesen aus „{ $heading }“.
told-headings-again = noch einmal die Überschriften
told-other-headings = die Überschriften einer anderen Tabelle
told-of-another-table = sie gehört zu einer anderen Tabelle, mit Überschriften in Zeile { $line }
told-no-such-date = das Datum „{ $text }“ lässt sich nicht lesen
told-only-date = nur ein Datum
told-only-remark = nur eine Bemerkung
told-summary = eine Zusammenfassung anderer Zeilen, keine Ablesung
told-no-date = kein Datum
told-formula = eine Formel, deren Ergebnis nicht in der Datei steht
told-date-for-number = ein Datum oder eine Uhrzeit, wo eine Zahl stehen soll
told-not-a-duration = keine Dauer
told-fill-in-no-time = eine Füllung dauert länger als 0
told-not-a-fill = keine Füllzeit: angenommen werden Sekunden, 71 s, 1:11, 1 min 11 s
told-not-a-clock = keine Uhrzeit; Mittag wird angenommen
told-which-part = welches Teil von { $parts } mit „{ $done }“ gemeint ist, steht nicht da; es wird kein Ereignis daraus
told-out-of-order = außer der Reihe: nicht zwischen den Tagen der Zeilen darüber und darunter; genommen, wie es dasteht

## do the work
work-title = Zur Arbeit
work-about = Wählen, was zu machen ist. Die Reihenfolge der Schritte wird aus den Leitungen dieser Anlage berechnet und an ihnen geprüft, bevor sie hier steht.
work-which = Was zu machen ist
work-to-card = Zur Karte
work-other = Nur herausnehmen, ansehen, wieder einsetzen
work-only-look = Ansehen
work-whole = Arbeit an der ganzen Anlage
work-whole-about = Jedes davon ist eine Karte für sich.
work-change = Wechseln: { $parts }
work-wash = Auswaschen: { $parts }
work-inspect = Ansehen: { $parts }
work-sanitise = Desinfizieren
work-descale = Membranen entkalken
work-clean = Membranen reinigen
work-commission = Neue Anlage in Betrieb nehmen
work-lay-up = Für den Winter stilllegen
work-due = fällig am { $day }
work-due-now = jetzt fällig
work-at = Zur Arbeit: { $unit }
work-under-way = Angefangene Arbeit
work-begun = Begonnen { $when } von { $by }; erledigte Schritte: { $n }.
work-go-on = Weitermachen
work-how-long =
    { $n ->
        [one] Ein Schritt.
        *[other] { $n } Schritte.
    } Wartezeiten zusammen: { $minutes } Minuten.
work-before = Vor dem ersten Schritt
work-tools = Bereitlegen
work-carry = Mitnehmen
work-read-cautions = Ich habe gelesen, was unter „Vor dem ersten Schritt“ steht.
work-read-first = Hier ankreuzen, wenn es gelesen ist. Noch ist nichts begonnen.
work-read-label = Was gelesen sein muss
work-begin = Anfangen
work-all-steps =
    { $n ->
        [one] Der Schritt
        *[other] Alle { $n } Schritte, zum Lesen vorher
    }
work-refused = Dafür gibt es keine Karte
work-refused-why = Saltmark gibt keine Karte heraus, wo keine Reihenfolge sicher ist. Ist die Anlage umgebaut, sie neu beschreiben („Wie sie gebaut ist“) und noch einmal wählen.
work-nothing-chosen = Nichts gewählt. Mindestens ein Teil wählen, oder eine Arbeit an der ganzen Anlage.
work-not-together = Das geht nicht auf einer Karte. Jedes Teil einmal wählen, aus den Teilen dieser Anlage; Arbeit an der ganzen Anlage steht allein.
work-unproved = Die Karte ließ sich nicht als sicher beweisen und wird nicht gezeigt. Das ist ein Fehler von Saltmark. { $why }
work-choose-again = Noch einmal wählen
work-no-longer-title = Diese Karte gilt nicht mehr
work-no-longer = Seit diese Arbeit begonnen wurde, wurde die Anlage neu beschrieben oder das Programm erneuert: Die Schritte sind nicht mehr dieselben. Erledigte Schritte der alten Karte: { $n }. Die Anlage ansehen, wie sie jetzt steht, mit Ventilen, Schläuchen und Steckern, und noch einmal wählen; dann die alte Karte aufgeben.
work-give-up = Aufgeben
work-give-up-sure = Ich gebe diese Arbeit auf. Was abgehakt wurde, bleibt in den Aufzeichnungen; nichts wird als gewechselt aufgeschrieben.
work-step = Schritt { $step } von { $n }
work-steps = Schritte der Karte
work-done-of = { $done } von { $n } Schritten erledigt
work-all-done = Alle Handgriffe sind erledigt
work-is-done = Erledigt.
work-not-yet = Noch nicht: Davor sind noch Schritte zu tun.
work-to-now = Zu Schritt { $step }, der jetzt dran ist
work-caution = Vorsicht
work-caution-read = Ich habe das gelesen.
work-read-caution-first = Erst den Warnhinweis lesen und ankreuzen.
work-see = Was zu sehen ist
work-why = Warum:
work-relieved = Von hier an steht kein Teil dieser Anlage mehr unter Druck.
work-what-seen = Was zu sehen war
work-what-seen-hint = Farbe, Schleim, Sand, ein gequetschter O-Ring. Es wird beim Teil aufgeschrieben, wenn die Arbeit abgeschlossen wird.
work-takes = Dauert { $minutes } Minuten.
work-start-waiting = Zeit starten
work-waiting = Begonnen um { $begun }; vorbei um { $over }.
work-time-over = Die Zeit ist um.
work-wait-first = Erst die Zeit starten; der Schritt ist erledigt, wenn sie um ist.
work-not-over = Die Zeit ist noch nicht um: Sie endet um { $over }.
work-done = Erledigt
work-done-and-seen = Erledigt, und gesehen
work-undo = Muss noch einmal gemacht werden
work-back = Zurück
work-ahead = Vorausschauen
work-leave = Später weitermachen, oder aufgeben
work-leave-about = Beim Weggehen geht nichts verloren: Die Arbeit steht auf der Seite der Anlage, hier und auf jedem anderen Gerät, sobald dieses gesendet hat.
work-finish-title = Prüfen und aufschreiben
work-finish-about = Zuerst Temperatur, Leitungsdruck und Speisewasser von heute eintragen und „Mit heute vergleichen“ drücken: Was die anderen Ablesungen sein sollen, wird dann für heute berechnet. Bis dahin gilt es für die letzten Ablesungen.
work-should = Soll { $expected } ({ $low } bis { $high })
work-judge = Mit heute vergleichen
work-finish = Abschließen und alles aufschreiben
work-finish-one-go = Teile, was zu sehen war, Ablesungen, Bemerkung und Fotos werden in einem Zug aufgeschrieben, oder gar nicht.
work-anyway = Ich schließe trotzdem ab. Dass die Prüfung nicht bestanden ist, wird mit aufgeschrieben.
work-does-not-pass = Die Prüfung ist nicht bestanden. Ansehen, was oben steht, noch einmal ablesen, oder hier ankreuzen.
work-proof-passes = Bestanden: Das ist von nun an, was die Anlage leistet, wenn sie in Ordnung ist
work-proof-look = Nicht bestanden: das ansehen
work-proof-other-day = Diese Bedingungen sind nicht vergleichbar
work-proof-incomplete = Nicht geprüft: Permeatmenge und Leitfähigkeit des Permeats werden gebraucht
work-proof-unjudged = Nicht geprüft: Über das Wasser oder die Bedingungen von heute ist zu wenig bekannt, um zu sagen, was sein soll. Temperatur, Leitungsdruck und Leitfähigkeit des Speisewassers werden gebraucht.
work-below = weniger als es sein soll.
work-above = mehr als es sein soll.
work-other-day = nicht von heute.
work-said-outside = Abgeschlossen, obwohl die Prüfung nicht bestanden ist: { $values }
work-said-unproved = Ohne Prüfung abgeschlossen.
work-finished = Abgeschlossen { $when }.
work-given-up = Aufgegeben { $when }.
said-work-begun = Arbeit begonnen: { $work }
said-work-finished = Arbeit abgeschlossen: { $work }
said-work-given-up = Arbeit aufgegeben: { $work }
said-work-mark = Ein Schritt einer Arbeit abgehakt
phase-isolate = Absperren
phase-relieve = Druck ablassen
phase-open = Öffnen
phase-change = Die Teile
phase-close = Schließen
phase-rinse = Spülen
phase-flush = Durchspülen
phase-prove = Prüfen
phase-record = Aufschreiben
