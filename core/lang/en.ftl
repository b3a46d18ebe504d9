# English. Every sentence of the bot stands here; none in the code.
#
# For whoever writes or translates: somebody tired, with wet hands, at three in the morning, reads this on a
# telephone. The number first. No digits in any sentence: every figure comes in as a { $value }, already
# written as the language writes numbers and times, so that no figure is ever invented by words.
# { $who } and { $when } are parts that may be missing; they bring their own blank: " (F1, F2)", " at 05:40".

## Names

species-african-catfish = African catfish
species-walking-catfish = walking catfish
species-bighead-catfish = bighead catfish
species-stinging-catfish = stinging catfish
species-striped-catfish = striped catfish
species-common-carp = common carp
species-grass-carp = grass carp
species-silver-carp = silver carp
species-bighead-carp = bighead carp
species-rohu = rohu
species-catla = catla
species-mrigal = mrigal
species-silver-barb = silver barb
any-species = all species

preparation-premix = premix
preparation-pituitary = pituitary
preparation-hcg = hCG
preparation-lhrha = GnRH analogue
preparation-own = own mixture

strength-both = { $ug_per_ml } ug + { $mg_per_ml } mg per mL
strength-ug = { $ug_per_ml } ug per mL
strength-mg = { $mg_per_ml } mg per mL
strength-vial = { $iu_per_vial } IU per vial
strength-vial-dissolved = { $iu_per_vial } IU in { $diluent_ml } mL
strength-unknown = strength not known

step-get-ready = get ready
step-prime = priming injection
step-inject = inject
step-check-females = look at the females
step-strip = strip
step-fertilise = fertilise
step-spread = spread the eggs
step-destick = de-stick the eggs
step-swell = let the eggs swell
step-load = load the eggs
step-disinfect = egg bath, mix and in
step-rinse = eggs out of the bath, rinse
step-care = care of the eggs
step-check-fertilised = count fertilised eggs
step-check-hatch = look for larvae
step-check-brood = look at the spent females
step-set-live-food = set live food
step-first-feed = first feed
step-check-nest = look for eggs, from outside
step-remove-brood = brood fish out
step-collect-eggs = collect the eggs
step-remove-substrate = lift the nest material
step-all-well = evening word
step-check-water = read the water
step-trial = trial bell
step-bottle-expires = a bottle expires
step-bottle-low = little hormone left

mark-published = published
mark-common-practice = common practice
mark-from-memory = from memory, unchecked
mark-own = your own figure

unit-ug = ug
unit-mg = mg
unit-iu = IU
unit-ml = mL
unit-g = g
unit-h = h
unit-min = min

## Small parts

farm = { $name }:
called = { $called }: { $text }
list = { $before }, { $last }
sentences = { $before } { $last }
plus = { $before } + { $last }
who = ({ $tags })
when = at { $at }
by = by { $name }
amount = { $amount } { $unit }
duration-minutes = { $minutes } min
duration-hours = { $hours } h
duration-both = { $hours } h { $minutes } min
duration-days = { $days } days
share = { $percent } %
doubt = , roughly { $low }-{ $high }
share-roughly = { $percent } %, roughly { $low }-{ $high }
part-of = { $step }, { $called }
next = Next { $at }: { $step }{ $who }.
the-rest = the rest

## Dose sheet

dose-head = { $species }, bottle { $strength }{ $assumed ->
    [yes] {" "}(assumed: check the label)
   *[no] {""}
}:{ $per_kg }
dose-head-bare = { $species }, { $preparation }:
dose-head-plain = { $species }, { $preparation }, { $dose } per kg for females:
dose-per-kg = { $ml } mL per kg for females
dose-own = Your own dose, for all shots together.
dose-own-signed = MORE THAN TWICE the usual dose. Your reason: { $reason }
own-weight-lb = ({ $value } lb)
own-weight-kati = ({ $value } kati)
own-weight-viss = ({ $value } viss)
dose-line = { $tag } { $kg } kg{ $own }: { $dose }
dose-line-optional = { $tag } { $kg } kg{ $own }: { $dose } (optional: he will be cut)
dose-line-none = { $tag } { $kg } kg{ $own }: no dose
dose-ml = { $ml } mL
dose-ml-drawn = { $drawn } mL (worked out: { $ml })
dose-not-drawn = { $dose }, too little for this syringe
dose-ml-thinned = { $ml } mL thinned
dose-ml-dissolved = { $dose } = { $ml } mL
making-thinned = First thin the bottle, if its label allows it: { $ml } mL of it and { $diluent } mL of saline. Use it at once.
making-only = Dissolve { $amount } in { $diluent } mL of saline; inject from that.
making-priming = For the first: dissolve { $amount } in { $diluent } mL of saline.
making-resolving = For the final one: dissolve { $amount } in { $diluent } mL of saline.
dose-vials = Vials needed: { $count }.
dose-glands = Glands needed, by your weight of one: { $count }.
dose-blocker = { $mg } mg of the blocker
dose-two = first { $first }, then { $final }
dose-total = { $total } mL in all; draw { $draw } mL, waste included
dose-total-amount = { $total } in all; make ready { $make }, waste included

warning-one-male = One male is a risk: if he is empty, all eggs are lost.
warning-no-male = No male weighed yet.
warning-no-female = No female weighed yet.
warning-no-male-figure = No figure known for males of this species: no dose shown for him.
warning-sex-unknown = Female or male? Without the sex there is no dose.
warning-too-small = Too little to draw well: use a finer syringe.
warning-big-volume = A large volume{ $shared ->
        [yes] : share it between { $places } places, and check the label.
       *[no] {" "}for so small a fish: check the label.
    }
warning-under-range = UNDER the usual range: she may give no eggs. Check the label.
warning-over-range = OVER the usual range: it can harm her. Check the label.
warning-ratio-differs = The two parts of this bottle are not mixed as usual; I go by the hormone.
warning-label-swapped = The two parts of the label look swapped. Read it again.
warning-label-unusual = An unusual strength. Read the label again.
warning-no-dose-figure = No dose figure known with { $preparation }: go by the label and a veterinarian. I keep weights and hours all the same.
warning-vial-not-told = Tell me the vial, its IU and the mL it is dissolved in: then I say mL.
warning-vial-old = The vial you told of was dissolved more than a day ago: open a fresh one, and tell me when it is dissolved.
warning-blocker-is-pimozide = This blocker figure is for pimozide; domperidone is dosed several times higher. Never swap them.
warning-hcg-alone-works-badly = hCG alone works badly in this fish: choose another preparation if you can.
warning-metoclopramide = The milligrams are of metoclopramide, not of domperidone: never swap them.
warning-domperidone = The milligrams are of domperidone; other blockers need other amounts.
warning-gland-dried = For DRIED glands. Glands out of alcohol weigh otherwise: never mix up the two.
warning-gland-alcohol = For glands kept in ALCOHOL. Dried ones are far stronger by weight: never mix up the two.
warning-gland-unknown = Dried glands, or out of alcohol? Their weights differ two- to fourfold, and nobody told which this figure is for: ask your supplier.
warning-rounding = Rounded to the marks of the { $syringe } mL syringe, { $graduation } mL apart; a finer one is better.

course-to-come = { $given } { $unit } per kg so far{ $who }; with the shots to come { $total } { $unit } per kg in all (usual { $low }-{ $high }).
course-over = { $total } { $unit } per kg in all{ $who } (usual { $low }-{ $high }).
course-under-range = UNDER the usual range: she may give no eggs.
doubt-over-range = OVER the usual range: { $tag } got { $given } { $unit } per kg so far, with this it is { $total } (usual { $low }-{ $high }). It can harm her: ask a fish vet before you inject her.
doubt-under-range = UNDER the usual range: { $tag } gets { $total } { $unit } per kg in all with this (usual { $low }-{ $high }). She may give no eggs.
doubt-unknown = How much { $tag } got so far is not known in { $unit } per kg (usual { $low }-{ $high }): ask before you inject her again.
course-over-range = OVER the usual range: no more than this, it can harm her.

## The hour, the night, the window

inject-plan-stripped = { $prime }Inject { $at }, first look { $look }. OK?
inject-plan-nest = { $prime }Inject { $at }, eggs on the mat most often { $most_from }-{ $most_to }. OK?
inject-plan-hapa = { $prime }Inject { $at }, eggs most often { $most_from }-{ $most_to }. OK?
inject-plan-held = { $prime }Inject { $at } all the same?
inject-plan-no-earlier = No earlier hour is left.
inject-plan-prime = Prime { $at }.
inject-plan-awake = Somebody must be awake: { $hours }.

plan-head = The night, to copy on the wall:
plan-line = { $at } { $step }
plan-line-about = { $at } about: { $step }
plan-alarm = Set your phone alarm for { $at } too.

injected-echo = Injected{ $who } { $at }, right?
injected-rest = Not injected yet: { $tags }.
strip-forecast-stripped = { $going ->
    [yes] Looks go on, next { $look }.
   *[no] First look { $look }.
} Most give { $most_from }-{ $most_to }. After { $latest } unlikely.
strip-forecast-nest = Eggs on the mat most often { $most_from }-{ $most_to }. { $going ->
    [yes] Looks go on, next { $look }.
   *[no] First look, from outside, { $look }.
} After { $latest } unlikely.
strip-forecast-hapa = Eggs in the hapa most often { $most_from }-{ $most_to }. { $going ->
    [yes] Looks go on, next { $look }.
   *[no] First look, from outside, { $look }.
} After { $latest } unlikely.
forecast-alarm = Set your phone alarm for { $at } instead.
forecast-rough = Rough: few reports for this, so the span is wide.
water-measured = Water { $celsius } C.
water-guessed = Water { $celsius } C, your guess.
water-assumed = Water assumed { $celsius } C: nobody told.

hold-too-cold = { $celsius } C is too cold{ $deadly }: I cannot tell an hour now.
hold-too-warm = { $celsius } C is too warm{ $deadly }: I cannot tell an hour now.
hold-outside-source = No reports for { $celsius } C: I cannot tell an hour now.
hold-deadly = (eggs die at { $lethal } C)
hold-meanwhile = Eggs later or not at all. No second dose. Looks go on by the clock.
outside-too-cold = { $celsius } C is too cold for them: hours are known from { $low } to { $high } C. Warm it slowly, or wait with the injection.
outside-too-warm = { $celsius } C is too warm for them: hours are known from { $low } to { $high } C. Cool it slowly, or wait with the injection.
outside-outside-source = Nobody reported hours for { $celsius } C, only from { $low } to { $high } C. Bring the water there slowly, or wait with the injection.
hold-tell = Tell me the water. At { $low }-{ $high } C I tell hours again.
hold-again = I ask the water again at { $at }. At { $low }-{ $high } C I tell hours again.

## An order worked back

order-females = About { $females } { $one ->
    [yes] female
   *[no] females
} ({ $kg } kg{ $span }){ $males }: { $larvae } of { $species }{ $by }, from { $eggs } eggs{ $grams }.
order-no-kilos = { $eggs } eggs{ $grams }: { $larvae } of { $species }{ $by }. How many females I cannot tell: no figure known for eggs per kilo. { $way ->
    [stripped] Tell me weights and grams of eggs of one run, and I reckon from yours.
   *[other] Strip one, tell me her weight and the grams of eggs, and I reckon from yours.
}
order-feeding = { $larvae } feeding larvae
order-hatchlings = { $larvae } hatchlings
order-one-female = One female may give none: have a second ready.
order-kilos = ; { $low }-{ $high } as they give
order-wanted = by { $at }
order-males = and { $males } { $one ->
    [yes] male
   *[no] males
}
order-grams = ({ $grams } g)
order-night = { $prime }{ $way ->
    [stripped] Inject { $at }, strip about { $eggs }, larvae { $hatch }{ $feed }.
   *[other] Inject { $at }, eggs about { $eggs }, larvae { $hatch }{ $feed }.
}
order-feed = , first feed { $at }
order-asleep = Eggs come while people sleep then: have somebody up.
order-too-late = TOO LATE for { $wanted }. The earliest is { $earliest }:
order-no-night-water = Which night I cannot tell: nobody reported hours for { $celsius } C.
order-no-night-hours = Which night I cannot tell: nobody published the hours.
order-hormone-ml = Hormone: { $ml } mL, waste included.
order-hormone = Hormone ({ $preparation }): { $amount } { $unit }, waste included; mL once I know your label.
order-no-hormone = Hormone: no dose known.
order-by-own = By your own figures: { $what }.
order-by-card = By reports: { $what }.
order-by-rule = Assumed, a rule of mine: { $what }.
order-assumed-eggs-per-kg = { $value } eggs per kg{ $of }
order-assumed-eggs-per-gram = { $value } eggs per gram{ $of }
order-assumed-gave-eggs = { $value } % of females give{ $of }
order-assumed-hatched = { $value } % of all eggs hatch{ $of }
order-assumed-reared = { $value } % live to first feed
order-assumed-female-kg = females of { $value } kg{ $of }
order-span = (of { $low }-{ $high })
order-runs = (mean of { $runs } runs)
order-water = water { $celsius } C
order-books-nothing = Nothing is booked: weights start the run.

## The messenger's menu

command-start = Begin
command-help = What to type
command-undo = Take the last word back
command-cancel = End a run
command-next = What comes next
command-status = How things stand
command-why = Where the last figure comes from
command-done = That bell is done
command-invite = A link for somebody new
command-crew = Who is on the farm, who has the night
command-leave = Leave the farm
command-export = All your data as files
command-delete = Delete the farm
command-farm = Another of your farms

## Bells

twin = (Sent again, of { $at }, run { $run }: if it came twice, it is one.)
late = LATE by { $by }. It was due { $due }.
tried = Rang { $names } before: no answer.
join-link-hand = For one person, once, until { $until }. Send it on; I ask you before they may tell. Whoever opens it can read all.
join-link-reader = For one person to read along, once, until { $until }. Send it on:
crew-owner = { $name }: owner
crew-hand = { $name }: hand
crew-reader = { $name }: reads along
crew-night = { $names } has the night, until { $until }.
crew-night-everybody = Bells that wake ring everybody at once.
again = Again: { $text }

bell-get-ready-stripped =
    Get ready: dry bowls and towel, salt, feather, a second male, bottle and syringes, torch. Clean water running, females and males apart, brood fish unfed for a day.
bell-get-ready-nest =
    Get ready: clean tank with soft nest material, clean water running, bottle and syringes, towel, torch. Females and males apart until injected, brood fish unfed for a day.
bell-get-ready-hapa =
    Get ready: clean hapa, well tied, clean water running, jars and a measuring jug for the eggs, bottle and syringes, towel, torch. Females and males apart until injected, brood fish unfed for a day.
bell-prime = { $tagged ->
    [yes] Prime now: { $tags }.
   *[no] Priming injection now.
}
bell-inject = { $tagged ->
    [yes] Inject now: { $tags }.
   *[no] Inject now.
}
bell-needle = Back muscle, above the side line, needle at a slant. Draw back first; press the spot afterwards.
bell-check-females = { $tagged ->
    [yes] Look at the females now: { $tags }. Press once, gently: eggs that run at a touch?
   *[no] Look at the females now. Press once, gently: eggs that run at a touch?
}
bell-check-females-last = Last look. If nothing runs: stop pressing, let her rest, no second dose tonight.
bell-strip = { $tagged ->
    [yes] Strip now: { $tags }.
   *[no] Strip now.
} Eggs in a bowl wait minutes, not hours. Wipe her dry, dry bowl, no water. Blood, watery or whitish: stop, own bowl.
bell-since = Eggs run since { $at }.
bell-strip-male = Eggs run: now the male may be cut.
bell-strip-ask = How many grams of dry eggs?
bell-fertilise = Read to the end BEFORE your hands are wet; then all in one go:
bell-milt = - Milt on the dry eggs, best of two males; stir softly with a feather.
bell-milt-cut = - Press the cut milt sacs through a cloth onto the dry eggs; stir softly with a feather.
bell-milt-much = - About { $ml } mL of milt is enough.
bell-bath-before-water = - Your egg bath here, before the water, as you do it.
bell-add-water = - Clean water, just covering. Stir about a minute.
bell-add-fertilising-liquid = - FERTILISING liquid, else clean water, just covering. Stir about a minute.
bell-then-spread = - Spread at once, in one layer: they stick in moments. No bath in between.
bell-then-destick-urea-and-salt = - Then the DE-STICKING liquid, stirring on until no egg clings. Two DIFFERENT liquids: do not swap them.
bell-then-destick-tannin = - They glue within moments: pour off, tannin bath at once as you have tried it out, stir, rinse well.
bell-then-destick-any = - Then take the glue off as you do it, stirring on until no egg clings.
bell-then-free = - Pour off the cloudy water, rinse, let them swell undisturbed.
bell-spread = Spread the eggs now, at once, in one layer. What lies in heaps dies.
bell-destick-urea-and-salt = De-stick now: the DE-STICKING liquid, not the fertilising one. Keep stirring softly until no egg clings to another, then rinse.
bell-destick-tannin = Tannin off by now? A few minutes are enough: rinse until the water is clear.
bell-destick-any = De-stick now. Keep stirring softly until no egg clings to another, then rinse.
bell-swell = { $timed ->
    [yes] Let the eggs swell { $minutes } min, undisturbed, in clean water.
   *[no] Let the eggs swell, undisturbed, in clean water.
}
bell-load-stripped = Load the eggs now, softly. Little flow at first: they only just roll.
bell-load-hapa = Into the jars now, softly. First flow: the eggs only just roll.
bell-disinfect = { $timed ->
    [yes] Egg bath now: mix, then eggs in, for { $minutes } min. One person watches it; do not wait for my bell.
   *[no] Egg bath now: mix, then eggs in. One person watches it; do not wait for my bell.
}
bell-rinse = Eggs OUT of the bath now. Rinse in clean water of the same warmth.
bell-care-stripped = Eggs: is water running, air on, screens clean? Leave white ones until the count.
bell-care-nest = Eggs on the mat: is the water clean, air on, nothing stirred up? Leave the mat where it is.
bell-care-hapa = Eggs: is water moving softly through them, cloth or screens clean? Leave white ones until the count.
bell-check-fertilised = Count now: a spoonful from several spots. White ones are dead; count them too, take them out afterwards.
stage-blastopore-closed = Good ones are clear, with the germ closed all round the yolk.
bell-check-fertilised-ask = How many good ones, of how many?
bell-check-hatch = Look for larvae now. Bent ones do not count.
bell-check-hatch-ask = How many hatched, of how many? Or not yet?
bell-check-brood = { $tagged ->
    [yes] Look at the spent females: { $tags }. Upright, breathing calmly, no wounds?
   *[no] Look at the spent females. Upright, breathing calmly, no wounds?
}
bell-check-brood-ask = All well, or did one die?
bell-set-live-food = Set live food now, so that it is ready when they swim up.
bell-first-feed = { $live ->
    [yes] First feed, once they swim and the yolk is nearly gone: live food, a little and often.
   *[no] First feed, once they swim and the yolk is nearly gone: very fine food, a little and often.
}
bell-first-feed-ask = Fed?
bell-check-nest-nest = Look at the mat from outside, do not disturb them: eggs on it?
bell-check-nest-hapa = Look into the hapa from outside, do not disturb them: eggs in it?
bell-check-nest-last = Last look. No eggs now: leave them in peace, no second dose tonight.
bell-remove-brood-nest = Brood fish out now, quietly. Leave the mat where it is.
bell-remove-brood-hapa = Brood fish out of the hapa now, quietly. Leave the eggs in it until they are firm.
bell-collect-eggs = Feel the eggs: firm? Then collect them softly, and measure them swollen.
bell-collect-eggs-rule = { $rule ->
    [our-own] { $hours } h since they were seen: a rule of our own, the eggs decide.
    [published] { $hours } h since they were seen, as published; the eggs decide.
    [common-practice] { $hours } h since they were seen, as is common practice; the eggs decide.
   *[other] { $hours } h since they were seen, from memory; the eggs decide.
}
bell-collect-eggs-ask = How many litres?
bell-remove-substrate = Only when larvae swim free: shake the mat softly in the water, then lift it.
bell-remove-substrate-ask = Do they swim free?
bell-all-well = All is answered.
bell-unanswered = Not answered yet: { $steps }.
bell-evening-next = { $first } Next bell { $at }.
bell-evening-last = { $first } No bell is waiting.
bell-running-already = Eggs run already: { $tags }. Strip now, then send the grams.
bell-check-water = Read the water now.
bell-water-was = It was { $celsius } C.
bell-check-water-ask = How warm is it?
bell-trial = This is a trial bell. If it woke you, bells reach you.

## Eggs

eggs-grams-count = { $grams } g, about { $count } eggs, at { $at }.
eggs-grams = { $grams } g of eggs, at { $at }.
eggs-count = About { $count } eggs, at { $at }.
eggs-unweighed = Eggs at { $at }, not weighed.
eggs-of = { $tag }{ $grams } g{ $quality }{ $partial }
eggs-of-unweighed = { $tag }not weighed{ $quality }{ $partial }
eggs-quality = , { $quality }
eggs-partial = , more later
quality-even = even and loose
quality-clumped = clumped
quality-watery = watery
quality-blood = with blood
quality-whitish = whitish
eggs-per-gram = Assumed { $per_gram } eggs per gram.
eggs-per-gram-range = Assumed { $per_gram } eggs per gram ({ $low }-{ $high } reported).
eggs-per-gram-own = By your own count of { $per_gram } eggs per gram.
eggs-litres-count = { $litres } L, about { $count } eggs, at { $at }.
eggs-litres = { $litres } L of eggs, at { $at }.
eggs-in-place = { $place }: { $litres } L{ $count }
eggs-about = (about { $count })
vessels-litres = Reckoned: { $litres } L x { $per_ml } swollen eggs per mL.
vessels-grams = Reckoned: { $grams } g x { $per_gram } eggs per gram of dry eggs.
vessels-no-per-gram = How many { $species } eggs are in a gram nobody told: count a gram and tell it.
vessels-no-per-ml = How many { $species } eggs lie in a mL nobody told: count a mL and tell it.
vessels-count = { $number } { $vessel ->
    [tub] { $count ->
        [one] tub
       *[other] tubs
    }
   *[jar] { $count ->
        [one] jar
       *[other] jars
    }
} of { $litres } L for about { $eggs } eggs.
vessels-held = In each at most { $held } swollen eggs.
vessels-by-low = { $held } swollen eggs in each were told; reckoned with the fewest.
vessels-sticky-spread = These eggs stick: most hatcheries spread them. Jars want free eggs.
vessels-sticky-de-stick = Only once they stick no more.
vessels-each = { $vessel ->
    [tub] A tub
   *[jar] A jar
} of { $litres } L holds { $held } swollen eggs.
vessels-span = { $low }-{ $high }
vessels-flow = Water: { $flow } L a minute in each { $vessel ->
    [tub] tub
   *[jar] jar
}.
vessels-flow-all = In all { $flow } L a minute.
vessels-no-flow = No figure known of the water through them: eggs should roll, and none wash out.
vessels-none = No figure known of { $species } eggs in a jar, nor of the water through it.
vessels-spread = No figure known of how many eggs lie on a tray, net or mat. Spread them in one layer, none on another.

milt-for = { $told ->
    [yes] { $ml } mL of milt for { $grams } g of dry eggs ({ $span } reported).
   *[no] { $ml } mL of milt for each kg of dry eggs ({ $span } reported).
}
milt-span = { $told ->
    [yes] { $span } mL of milt for { $grams } g of dry eggs.
   *[no] { $span } mL of milt for each kg of dry eggs.
}
milt-none = No figure known in mL of how much milt { $species } eggs take.
milt-thinned = One part of milt in { $parts } parts of saline ({ $grams } g of salt per L) did best in a trial.
milt-thinning-unknown = No figure known of thinning the milt of { $species }: use it as it is, dry.
milt-from = { $cut ->
    [yes] He is cut for it, and only once eggs run.
   *[no] He is stripped for it: dry, and no urine in it.
}
brood-effective = Effective number { $effective }: { $females } { $females_are ->
    [one] female
   *[other] females
}, { $males } { $males_are ->
    [one] male
   *[other] males
}.
brood-effective-told = Effective number of them together: { $effective }; the smallest counts most.
brood-percent = Inbreeding grows by { $percent } % a generation; at most { $most } % is advised, better { $better } %.
brood-total = After { $generations } generations about { $percent } % inbred, if no new fish come in.
brood-wanted = With { $males } males these females reach { $advised }.
brood-more-of-both = More males alone do not reach { $advised }: it wants more females too.
brood-males = { $males } { $males_are ->
    [one] male
   *[other] males
} for { $females } { $females_are ->
    [one] female
   *[other] females
} of { $species } ({ $low }-{ $high } told).
brood-males-span = { $low }-{ $high } males for { $females } { $females_are ->
    [one] female
   *[other] females
} of { $species }.
brood-males-none = No figure known of how many males { $species } take.
brood-too-few = { $males } for { $females }: too few.
brood-few = { $males } for { $females }: fewer than usual.
brood-enough = { $males } for { $females }: enough.
eggs-wet = Weighed after water: neither eggs nor milt can be reckoned from that. Count the eggs in a mL.
own-count-gram = { $species }: { $eggs } eggs per gram, by your own count.
own-count-ml = { $species }: { $eggs } swollen eggs per mL, by your own count.
own-count-before = Before it was { $eggs }.
own-count-reported = { $far ->
    [yes] Far from the { $low }-{ $high } reported: count a second sample before you trust it.
   *[no] Reported are { $low }-{ $high }.
}
own-count-from-now = It counts for eggs from now on; what is booked stays.
own-count-kept = Kept for your next { $species }; older runs keep theirs.
eggs-per-ml-own = By your own count of { $per_ml } eggs per mL.
eggs-per-ml = { $mark ->
    [published] Assumed { $per_ml } eggs per mL ({ $low }-{ $high } published).
    [common-practice] Assumed { $per_ml } eggs per mL ({ $low }-{ $high }, common practice).
   *[other] Assumed { $per_ml } eggs per mL ({ $low }-{ $high }, from memory). Your own count is better.
}
eggs-milt = Milt: about { $ml } mL.
eggs-test-lot = Own bowl, never pooled: a spoonful as test lot, decide at the count. Stop pressing her.
eggs-waiting = Still to look at: { $tags }.

## Ripe fish

ripe-signs = Ripe { $species }:
ripe-signs-none = No figure and no sign known here: ask somebody who spawns them.
rest-usual = { $species }: about { $days } days of rest after she gave eggs ({ $low }-{ $high } told).
rest-span = { $species }: { $low }-{ $high } days of rest after she gave eggs.
rest-left = { $tag }: { $days } { $left ->
    [one] day
   *[other] days
} of rest left, to { $rested }. She gave eggs { $gave }.
rest-over = { $tag } has rested since { $rested }: she gave eggs { $gave }. Her belly and eggs say whether she is ripe.
rest-none = { $species }: no figure known of how long a female must rest. Look for the signs of a ripe one.
sign-belly-soft-round = - Her belly is round and soft behind, not hard with food.
sign-eggs-even-loose = - A few eggs from her are even in size and lie loose.
sign-eggs-brown-often = - Ripe eggs are often dark brown.
sign-eggs-green-when-ripe = - Ripe eggs of this fish are green.
sign-green-clumped-unripe = - Green and clumped together: most often not ripe yet.
sign-colour-never-alone = - Colour alone never rejects a fish.
sign-male-papilla-red = - His papilla is red and stands out.
sign-vent-red-swollen = - Her vent is red and swollen.
sign-eggs-run-at-touch = - A few eggs come at a slight pressure.
sign-male-fin-rough = - His breast fins feel rough, hers smooth.
sign-male-milt-on-press = - He gives milt at a slight pressure.

## Baths

bath-ml = { $amount } mL of { $agent }{ $into }.
bath-grams = { $amount } g of { $agent }{ $into }.
bath-of-parts = { $parts }{ $into }.
bath-per-litre = For each litre: { $parts }.
bath-part-ml = { $amount } mL of { $stuff }
bath-part-grams = { $amount } g of { $stuff }
bath-part-mg = { $amount } mg of { $stuff }
bath-plus = { $before } + { $last }
bath-in-scoops = That is { $count } { $of ->
    [spoon] { $one ->
        [yes] spoon
       *[no] spoons
    }
    [cup] { $one ->
        [yes] cup
       *[no] cups
    }
    [cap] { $one ->
        [yes] cap
       *[no] caps
    }
   *[drop] { $one ->
        [yes] drop
       *[no] drops
    }
} of yours{ $named ->
    [yes] {" "}({ $stuff }).
   *[no] .
}
bath-bottle = From your bottle of { $percent } %.
bath-kept-grams = { $of ->
    [spoon] A spoon
    [cup] A cup
    [cap] A cap
   *[drop] A drop
} of { $stuff } holds { $grams } g: noted, level as you weighed it.
bath-kept-ml = { $of ->
    [spoon] A spoon
    [cup] A cup
    [cap] A cap
   *[drop] A drop
} of { $stuff } holds { $ml } mL: noted.
bath-kept-bottle = Your bottle of { $stuff }: { $percent } %, noted.
bath-into = in { $litres } L of water
bath-no-amount = No amount for { $agent } yet.
bath-target = { $timed ->
    [most] { $target } { $unit }/L{ $basis }, never longer than { $minutes } min.
    [yes] { $target } { $unit }/L{ $basis }, { $minutes } min.
   *[no] { $target } { $unit }/L{ $basis }.
}{ $on ->
    [eggs] {" "}For eggs.
    [tools] {" "}For tools and nets.
    [fish] {" "}For fish.
    [larvae] {" "}For larvae.
    [glands] {" "}For glands.
    [milt] {" "}For milt.
   *[unknown] {""}
}
bath-is-fertilising = The FERTILISING liquid: { $parts } a litre.
bath-is-de-sticking = The DE-STICKING liquid: { $parts } a litre.
bath-reported = { $one ->
    [yes] Reported: { $low } { $unit }/L ({ $known }).
   *[no] Reported: { $low }-{ $high } { $unit }/L ({ $known }).
}
bath-known-labels = on labels
bath-known-others = other fish
bath-this-fish = this fish
bath-out-now = OUT now: clean water of the same warmth, much air. Push water gently through the mouth over the gills. One person watches the gills until they beat on their own.
bath-over = { $target } { $unit }/L of { $agent } is too strong: { $low }-{ $high } { $unit }/L is what is used.
bath-not-now = NO iodine now: these eggs are about to hatch, or have. It kills them.
bath-kills = NO { $agent } of { $target } { $unit }/L: it kills.
bath-too-strong = Too strong, no amount from me: { $target } { $unit }/L of { $agent }. { $one ->
    [yes] Reported: { $low } { $unit }/L ({ $known }).
   *[no] Reported: { $low }-{ $high } { $unit }/L ({ $known }).
}
bath-if-inside = If fish are in it: OUT now, into clean, aerated water.
bath-borne = Borne: { $low }-{ $high } { $unit }/L.
bath-known-of-no-other = Known of { $known } alone; for others I know no figure.
bath-wrong-jar-fertilising = STOP: { $target } { $unit }/L of urea is not the fertilising liquid, which holds { $low } { $unit }/L. Which jar is it?
bath-wrong-jar-de-sticking = STOP: { $target } { $unit }/L of urea is not the de-sticking liquid, which holds { $low } { $unit }/L. Which jar is it?
bath-other-species = No amount: { $agent } is known for { $known } alone. For { $species } I know no figure.
bath-limit-kills-half = { $timed ->
    [yes] { $limit } { $unit }/L killed half of the fish in { $minutes } min ({ $species }).
   *[no] { $limit } { $unit }/L killed half of the fish ({ $species }).
}
bath-limit-kills-all = { $on ->
    [eggs] In { $species }, { $limit } { $unit }/L and more killed all eggs{ $timed ->
        [yes] {" "}in { $minutes } min.
       *[no] .
    }
   *[other] In { $species }, { $limit } { $unit }/L left none of the larvae alive.
}
bath-limit-none-hatch = In { $species }, no egg hatched at { $limit } { $unit }/L.
bath-of-available = of available iodine
bath-of-substance = of povidone-iodine substance
bath-of-liquid = of the liquid
bath-range = Bottles differ: this gives { $low }-{ $high } mg/L of available iodine.
agent-iodine = iodine stock
agent-salt = salt
agent-anaesthetic = anaesthetic
agent-clove-oil = clove oil
agent-tricaine = tricaine
agent-formalin = formalin
agent-peroxide = hydrogen peroxide
agent-malachite-green = malachite green
agent-clove = clove
agent-clove-extract = clove seed extract
agent-baking-soda = baking soda
agent-urea = urea
agent-tannin = tannin
agent-saline = saline
agent-permanganate = potassium permanganate
agent-methylene-blue = methylene blue
agent-copper-sulphate = copper sulphate
agent-acriflavine = acriflavine
agent-chlorine = chlorine
agent-antibiotic = antibiotics
agent-unknown = this bath
bath-warning-no-figure = I know no safe figure for this. Go by its label.
bath-warning-litres-not-told = Tell me the litres, too.
bath-warning-ppm-not-told = Tell me the mg/L you want, too.
bath-warning-strength-not-told = Tell me the strength you want, too.
bath-warning-species-not-told = Known for { $known }. Another fish? Ask again with its name.
bath-warning-other-species = Known for { $known }; for { $species } I know no figure. A few first.
bath-warning-weaker-than-reported = Weaker than is reported: it may do nothing.
bath-warning-too-long = That is too long.
bath-warning-not-larvae = Never on larvae.
bath-warning-dissolve-oil-first = Shake it up in a little spirit or warm water first, then stir in.
bath-warning-one-fish-first = One fish first.
bath-warning-watch-gills = One person watches the gills all the time, clean aerated water beside; out as soon as she lies over.
bath-warning-extract-is-no-oil = Seed extract, by the gram: NEVER that much clove OIL.
bath-warning-tricaine-goes-sour = Tricaine makes water sour: the baking soda goes in with it.
bath-warning-tricaine-species = Strengths are from other fish than yours.
bath-warning-mask-for-powder = No wind on the powder; gloves and glasses.
bath-warning-jar-fertilising = Write FERTILISING on the jar. The de-sticking liquid is another: do not swap them.
bath-warning-jar-de-sticking = Write DE-STICKING on the jar. The fertilising liquid is another: do not swap them.
bath-warning-tannin-after-swelling = Only once swelling is over.
bath-warning-tannin-in-seconds = Quick rinses of seconds, then much clean water.
bath-warning-tannin-at-once = At once after milt and water: these eggs glue within moments.
bath-warning-figure-of-a-label = A figure of labels for warm-water fish.
bath-warning-label-and-law = Only what your law and the label allow for fish.
bath-warning-formalin-as-whole = The usual formalin of the shops is counted as whole, not by its formaldehyde.
bath-warning-formalin-people = Formalin gives cancer and burns eyes: gloves, glasses, open air.
bath-warning-formalin-air = It takes the air from the water: blow air, and stand by.
bath-warning-few-larvae-first = A few larvae first.
bath-warning-saline-water = Clean boiled water, cooled, in a clean jar; fresh each day.
bath-warning-no-water-in-milt = No drop of plain water: milt starts at once.
bath-warning-bottle-not-told = What per cent is on the bottle?
bath-warning-bottle-unknown = I do not know a bottle of that strength.
bath-warning-bottle-unclear = Is that per cent povidone-iodine or available iodine? Read the label line to me.
bath-warning-agent-not-told = Tell me what the bath is of.
bath-warning-label-line = Read me the label line, too: per cent of what?
bath-warning-nominal-stock = Assumed the usual stock; read its label.
bath-warning-over-strength = Stronger than egg baths are reported: it can kill eggs.
bath-warning-not-unfertilised = Never on unfertilised eggs, in the middle of fertilising, on eggs about to hatch, or on larvae.
bath-warning-test-lot-first = A small test lot first.
bath-warning-egg-bath-evidence = { $foreign ->
    [yes] For { $species } I know no trial. { $trial }: { $percent } % hatched after { $strength } mg/L for { $minutes } min, iodine or product unclear; in another trial washing in clean water did better.
   *[no] { $trial }: { $percent } % hatched after { $strength } mg/L for { $minutes } min, iodine or product unclear; in another trial washing in clean water did better.
}
bath-warning-iodine-water = Water of pH { $low }-{ $high }.
bath-warning-iodine-colour = Brown works. Pale or colourless is spent: mix anew.
bath-warning-rinse-after = Rinse well afterwards.

## Counts and larvae

fertilised = Fertilised: { $share }.
fertilised-counted = Fertilised: { $share } ({ $good } good of { $total }).
share-of-all-jars = All jars counted so far: { $percent } %.
hatch-forecast = First larvae from { $earliest }, most about { $likely }, the last by { $latest }.
hatch-from-strip = Counted from the stripping, as fertilising was not told.
hatch-from-reckoned = Spawned about { $at }, reckoned.
hatch-from-check-nest = Counted from when the eggs were seen.
hatch-count-at = Count the eggs at { $at }, before that.
hatched-of-all = Hatched, of all eggs: { $share }.
hatched-of-fertilised = Hatched, of the good eggs: { $share }.
hatched-of-unknown = Hatched: { $share }, not told of what.
hatched-also-all = That is { $share } of all eggs{ $doubt }.
hatched-also-fertilised = That is { $share } of the good eggs{ $doubt }.
hatched-larvae = About { $larvae } larvae.
hatched-deformed = { $deformed } deformed, not counted as hatch.
hatched-swim-up = They swim up about { $at }.
hatched-first-feed = First feed about { $at }.
hatched-no-figure = Hatching noted, without a figure.

## Larvae in cups

larvae-roughly = About { $larvae } larvae{ $stage ->
    [hatched] {" "}at hatch
    [swim-up] {" "}at swim-up
   *[unknown] {""}
}, roughly { $low }-{ $high }.
larvae-told = { $larvae } larvae{ $stage ->
    [hatched] {" "}at hatch
    [swim-up] {" "}at swim-up
   *[unknown] {""}
}{ $kept ->
    [yes] : noted
   *[no] {""}
}.
larvae-cups = { $one ->
    [yes] One cup of { $ml } mL with { $mean }, out of { $litres } L.
   *[no] { $cups } cups of { $ml } mL, { $mean } a cup, out of { $litres } L.
}
larvae-by-ml = { $amount } mL at { $each } a mL.
larvae-by-cup = { $amount } cups at { $each } a cup.
measure-ml = { $larvae } spawn in a mL: your own count, used from now on.
measure-cup = { $larvae } larvae in your cup: used from now on.
measure-odd = Hatcheries count { $low }-{ $high }: count once more to be sure.
larvae-uneven = The cups differ by more than chance: stir and count again.
larvae-one-cup = One cup is a wide guess: stir, and count four more.
larvae-at-odds = More larvae than eggs ({ $eggs }): one of the two counts is wrong.
larvae-whole = All tanks counted so far: about { $larvae }.
larvae-not-kept = A sum only: no run is open to keep it with.
survival-head = { $species }, { $date }{ $eggs }:
survival-eggs = , about { $eggs } eggs
survival-fertilised = Fertilised: { $percent } % of { $of }{ $doubt }{ $number }.
survival-hatched = Hatched: { $percent } % of { $of }{ $doubt }{ $number }.
survival-swim-up = At swim-up: { $percent } % of { $of }{ $doubt }{ $number }.
survival-sold = Sold or stocked: { $percent } % of { $of }{ $doubt }{ $number }.
survival-alone-fertilised = Fertilised{ $number }.
survival-alone-hatched = Hatched{ $number }.
survival-alone-swim-up = At swim-up{ $number }.
survival-alone-sold = Sold or stocked{ $number }.
survival-number = {" "}({ $number })
survival-of-eggs = the eggs
survival-of-fertilised = the fertilised
survival-of-hatched = the hatched
survival-of-swim-up = those that swam
survival-stage-eggs = how many eggs
survival-stage-fertilised = fertilised
survival-stage-hatched = hatched
survival-stage-swim-up = at swim-up
survival-stage-sold = sold or stocked
survival-whole-hatched = From eggs to larvae: { $share }.
survival-whole-swim-up = From eggs to swim-up: { $share }.
survival-whole-sold = From eggs to sold: { $share }.
survival-missing = Not told: { $stages }.
survival-uncounted = Larvae at hatch were not counted for { $lots }: those of the others are no share of all.
survival-at-odds = { $stage ->
    [sold] More sold
    [swim-up] More swam
    [hatched] More hatched
   *[fertilised] More fertilised
} than { $of ->
    [eggs] there were eggs
    [fertilised] were fertilised
    [hatched] hatched
   *[swim-up] swam
}: one of the two counts is wrong.
per-kg = For each kg of female ({ $kg } kg, { $species }, { $date }): { $told }.
per-kg-hatched = { $number } larvae at hatch
per-kg-swim-up = { $number } at swim-up
per-kg-sold = { $number } sold or stocked
per-kg-none = { $species }, { $date }, { $kg } kg of females: no larvae told.
stock-head = { $species } { $young ->
    [fry] fry
   *[larvae] larvae
}, as reported:
stock-density = { $place }: { $density } { $per }{ $best }{ $comes }.
stock-span = { $low }-{ $high }
stock-usual = ({ $number } did best)
stock-per-m2 = per m²
stock-per-litre = a litre
stock-per-bag = a bag
stock-in-pond = Nursery pond
stock-in-tank = Tank
stock-in-hapa = Hapa
stock-in-bag = Oxygen bag
stock-comes-m2 = ; { $amount } m² take { $span }
stock-comes-litre = ; { $amount } L take { $span }
stock-comes-bag = ; { $amount } bags take { $span }
stock-wants-m2 = ; that is { $span } m²
stock-wants-litre = ; that is { $span } L
stock-wants-bag = ; that is { $span } bags
stock-note-carps-in-general = Told of carps in general.
stock-note-bag = For a bag of { $litres } L, a third of it water, the rest oxygen; for how many hours is not told. Try one bag first.
stock-note-far-apart = The reports lie far apart: begin low.
stock-note-frog-wall = With a frog wall round it; in an open pond far fewer lived.
stock-none = No figure known for { $species } { $young ->
    [fry] fry
   *[larvae] larvae
} in { $place ->
    [pond] ponds
    [tank] tanks
    [hapa] hapas
    [bag] bags
   *[any] any water
}. Try a small lot first.
count-larvae = Larvae: count { $larvae } in all for { $percent } % either way, stirred, in { $fewest } cups or more.
count-cups = At { $mean } a cup: { $cups } cups.
count-eggs = Eggs, good or not: { $eggs } for { $percent } points either way.
count-eggs-near = Near { $near } % good: { $eggs }.
count-assumed = { $percent } % is my guess of how close you want it.

## The hormone shelf

bottle-amount = { $amount } { $unit }
bottle-in = { $amounted ->
    [yes] Bottle { $name }: { $amount } of { $preparation }, noted.
   *[no] Bottle { $name } of { $preparation }, noted.
}
bottle-strength = Its label: { $strength }.
bottle-told = Bottle { $name }: noted.
bottle-opened = Bottle { $name } opened{ $when }, noted.
bottle-keeps = Bottle { $name }: good for { $days } days once opened, noted.
bottle-wasted = { $amount } of bottle { $name } wasted, noted.
bottle-broken = Bottle { $name } is broken{ $amounted ->
    [yes] , { $amount } lost
   *[no] {""}
}: noted.
bottle-thrown-away = Bottle { $name } thrown away{ $amounted ->
    [yes] , { $amount } with it
   *[no] {""}
}: noted.
bottle-counted = { $amount } left in bottle { $name }, noted.{ $found ->
    [more] {" "}The ledger said { $difference } less: it stands there as found.
    [less] {" "}That is { $difference } less than reckoned: what stays in syringes is not booked. It stands as missing.
   *[same] {""}
}
bottle-empty = Bottle { $name } is empty, noted.{ $found ->
    [more] {" "}By the ledger more was drawn than it held: { $difference } stand there as found.
    [less] {" "}That is { $difference } less than reckoned: what stays in syringes is not booked. It stands as missing.
   *[same] {""}
}
bottle-drawn = { $known ->
    [yes] From bottle { $name }: { $left } left.
   *[no] From bottle { $name }. What it held is not told.
}
bottle-left = { $left } left.
bottle-over = More was drawn than the bottle held: { $amount } too much. Count what is left, or mend what was told.
bottle-untold = { $count_is ->
    [one] Of { $count } needle nobody told how much it took: there is less.
   *[other] Of { $count } needles nobody told how much they took: there is less.
}
bottle-reckoned = What it held is reckoned back from the count.
bottle-good-label = Good until { $day }, by its label.
bottle-good-opened = Opened, it is good until { $day }, by its label.
bottle-expired = Its last day was { $day }. Old hormone may do nothing: take a fresh bottle if you can.
bottle-usual-days = Some labels give { $days } days in the refrigerator (common practice); its own label tells.
bottle-usual-years = Closed, dark and cool, about { $years } years are usual (common practice); its own label tells.
shelf-bottle = { $known ->
    [yes] Bottle { $name }: { $left } of { $preparation }
   *[no] Bottle { $name } of { $preparation }: what is left is not told
}
shelf-opened = opened { $day }
shelf-good = good until { $day }
shelf-expired = its last day was { $day }
shelf-line = { $line }.
shelf-and = { $before } { $last }
ledger-head = Ledger of { $preparation } since { $since }, in { $unit }:
ledger-bottle = Bottle { $name }
ledger-all = All
ledger-line = { $name }: { $opening } + { $came } in - { $used } used - { $wasted } wasted{ $counted } = { $closing }.{ $untold }
ledger-more = + { $counted } found by count
ledger-less = - { $counted } missing by count
ledger-unknown = { $name }: { $used } used; what it held is not told.{ $untold }
ledger-left-out = Not added up, for what they held is not told: { $names }.
ledger-none = { $runs_are ->
    [one] From no bottle told: { $used } used, in { $runs } run.{ $untold }
   *[other] From no bottle told: { $used } used, in { $runs } runs.{ $untold }
}
enough-yes = Yes: { $left } left, tomorrow needs about { $need }{ $usual }.
enough-no = No: { $left } left, tomorrow needs about { $need }{ $usual }. { $short } are missing.
enough-not-told = Not told: what is left in bottle { $names }. Tomorrow needs about { $need }{ $usual }. Tell me how many mL are left in it.
enough-no-bottle = No bottle of { $preparation } told{ $needed ->
    [yes] ; tomorrow needs about { $need }{ $usual }
   *[no] {""}
}. Type: bottle, its mL, lot and its code, exp and its month.
enough-no-need = { $left } left. What tomorrow needs is not told: no fish are weighed for it, and no run was before.
enough-usual = { $runs_are ->
    [one] (as your last run took)
   *[other] (as your last { $runs } runs took, on average)
}
enough-unknown = What is left in bottle { $names } is not told, and not in this.
enough-expired = { $amount } more are past their day.
enough-others = Of another strength, empty or not fitting, and not in this: bottle { $names }.
bell-bottle-expires = { $ends ->
    [opened] Bottle { $name } is opened, and by its label good until { $day }.
   *[label] Bottle { $name } expires: good until { $day }, by its label.
}
bell-bottle-low = { $left } of { $preparation } left. { $runs_are ->
    [one] Your last run took { $need }.
   *[other] Your last { $runs } runs took { $need } each, on average.
} Get more in time.

## Results

result-of-all = { $percent } % of all eggs hatched{ $doubt }: { $species }, { $date }.
result-of-fertilised = { $percent } % of the good eggs hatched{ $doubt }: { $species }, { $date }.
result-of-unknown = { $percent } % hatched, not told of what{ $doubt }: { $species }, { $date }.
result-closing = This run is closed.
result-none-draft = { $species }, { $date }: never started, no figure.
result-none-open = { $species }, { $date }: no hatch figure yet.
result-none-closed = { $species }, { $date }: no hatch figure.
result-none-not-reported = { $species }, { $date }: hatch not reported. It counts in no average.
result-none-cancelled = { $species }, { $date }: cancelled, no figure.
result-larvae = About { $larvae } larvae: { $species }, { $date }; no hatch rate told.
result-untold = { $species }, { $date }: nobody told whether there were eggs. It counts in no average.
result-no-eggs = { $species }, { $date }: no eggs, so no hatch rate.
result-swim-up = At swim-up: about { $larvae }.
result-sold = Sold or stocked: { $larvae } larvae.
result-batch = { $called }: { $told }.
result-batch-of-all = { $percent } % of all eggs hatched
result-batch-of-fertilised = { $percent } % of the good eggs hatched
result-batch-of-unknown = { $percent } % hatched, not told of what
result-batch-larvae = { $larvae } larvae
result-batch-none = hatch not told
result-batch-fertilised = { $percent } % fertilised
result-fertilised = Fertilised { $percent } %{ $doubt }.
result-batch-grams = { $grams } g of eggs
result-batch-litres = { $litres } L of eggs
result-also-all = { $percent } % of all eggs{ $doubt }, worked out.
result-also-fertilised = { $percent } % of the good eggs{ $doubt }, worked out.
result-per-kg = For each kg of female: { $told }.
result-grams = { $grams } g of eggs, { $percent } % of body weight.
result-litres = { $litres } L of eggs.
result-eggs = About { $eggs } eggs{ $doubt }{ $per_kg }, { $by ->
    [own] by your own count.
   *[card] by the usual count of the species.
}
result-eggs-per-kg = , { $eggs } per kg
result-females = Gave eggs: { $ovulated } of { $injected } females.
result-hours = { $way ->
    [stripped] { $hours } h from injection to stripping.
   *[other] { $hours } h from injection to eggs.
}
result-window-before = Before the first hour expected, { $earliest } h{ $assumed ->
    [yes] {" "}(water not told).
   *[no] .
}
result-window-early = Early: most give after { $from }-{ $to } h{ $assumed ->
    [yes] {" "}(water not told).
   *[no] .
}
result-window-most = Most give after { $from }-{ $to } h{ $assumed ->
    [yes] {" "}(water not told).
   *[no] .
}
result-window-late = Late: most give after { $from }-{ $to } h{ $assumed ->
    [yes] {" "}(water not told).
   *[no] .
}
result-window-after = After the last hour expected, { $latest } h{ $assumed ->
    [yes] {" "}(water not told).
   *[no] .
}
result-water = Water until the eggs: { $mean } C{ $steady ->
    [yes] {""}
   *[no] {" "}on average, { $low } to { $high }
}{ $guessed ->
    [yes] , partly guessed.
   *[no] .
}
result-hormone = Hormone used: { $used } ({ $preparation }).
money = { $amount } { $currency }
money-head = { $head }: { $told }
money-run = { $species }, { $date }
money-spent = { $named ->
    [yes] Paid { $amount }: { $goods }.
   *[no] Paid { $amount }{ $several ->
        [yes] {" "}in { $entries } parts.
       *[no] .
    }
}
money-earned = Taken { $amount }{ $several ->
    [yes] {" "}in { $entries } sales.
   *[no] .
}
money-unnamed = { $count } not named
money-none-spent = nothing paid was told.
money-none-earned = nothing taken was told.
money-cost = { $of ->
    [hatched] Cost { $amount } per thousand larvae hatched, by what was told as paid.
    [swim-up] Cost { $amount } per thousand larvae at swim-up, by what was told as paid.
   *[sold] Cost { $amount } per thousand larvae sold, by what was told as paid.
}
money-price = Sold at { $amount } per thousand larvae.
spent-kept = { $named ->
    [yes] { $amount } for { $goods }, kept with { $of ->
        [run] this run.
       *[farm] the farm.
    }
   *[no] { $amount } paid, kept with { $of ->
        [run] this run.
       *[farm] the farm.
    }
}
spent-total = { $of ->
    [run] This run so far: { $total }, { $entries } times.
   *[farm] The farm so far: { $total }, { $entries } times.
}
result-newer = Newer, without a figure: { $runs }.

## Pictures: what is said with one, and the few words on it

button-picture = Picture
night-picture = The night of { $day }: { $species }.
night-picture-water = Water { $low }-{ $high } C.
night-picture-water-one = Water { $low } C.
night-picture-assumed = Nobody told the water; { $celsius } C is assumed.
night-picture-hold = The water is outside what is known: no hours are promised.
season-picture = Hatched { $low }-{ $high } %: { $species }, { $period }, { $counted } of { $runs } runs with a figure.
season-picture-mean = On average { $percent } %.
season-picture-doubt = The bars: where the true rate likely lies.
no-picture-missing = No picture: nothing to draw with is installed here. All else works.
no-picture-failed = The picture could not be drawn this time. All else works.
shown-title = { $called }, { $day }
shown-water = Water, C
shown-assumed = { $celsius } assumed: nobody told
shown-guessed = open: guessed
shown-hold = Water outside what is known: no hours
shown-now = now
shown-done = done
shown-fertilise = milt on the eggs
shown-spread = eggs spread
shown-destick = eggs de-stuck
shown-swell = eggs swelled
shown-load = eggs loaded
shown-disinfect = egg bath begun
shown-rinse = out of the bath, rinsed
shown-remove-brood = brood fish out
shown-collect-eggs = eggs collected
shown-check-fertilised = eggs counted
shown-more = and { $number } more
shown-grams = , { $number } g
shown-fish = ({ $number } fish)
shown-window-eggs = most eggs { $begin }-{ $end }{ $part }
shown-window-hatch = most larvae { $begin }-{ $end }{ $part }
shown-priming = priming injection{ $who }
shown-injected = injected{ $who }
shown-eggs-run = eggs run{ $who }
shown-stripped = stripped{ $who }{ $grams }
shown-spawned = eggs seen{ $who }
shown-collected = collected { $number } L of eggs{ $who }
shown-none = no eggs{ $who }
shown-died = died{ $who }
shown-fertilised = { $number } % fertilised{ $who }
shown-hatched = { $number } % hatched{ $who }
shown-larvae = { $number } larvae{ $who }
shown-season = Hatch rate, { $species }
shown-runs = { $counted } of { $runs } runs with a figure
shown-newest = { $number } newest shown
shown-mean = average { $percent } %
shown-of-all = of all eggs
shown-of-fertilised = of good eggs
shown-of-unknown = not told of what
shown-why-no-eggs = no eggs
shown-why-no-figure = not told
shown-why-open = not yet
shown-doubt = bar: where the true rate likely lies

period-all = all time
period-last-month = last month
period-season = this season
summary = Hatched { $of }: { $mean }; { $species }, { $period }, { $counted } of { $runs } runs with a figure.
summary-mean = { $percent } % on average, from { $low } to { $high }
summary-none = No hatch figure: { $species }, { $period }, { $counted } of { $runs } runs with one.
summary-no-eggs = No eggs, so in no average: { $runs }.
summary-other-eggs = Told of other eggs, so in no average: { $runs }.
summary-left-out = Left out: { $runs }.

best-run-best = Best: { $rate }, { $species }, { $date }.
best-run-worst = Lowest: { $rate }, { $species }, { $date }.
best-run-all = { $counted } runs, from { $low } to { $high } %: { $which }.
best-run-few = { $one ->
    [yes] The only run with such a figure: too few to say.
   *[no] Only { $counted } runs with such a figure: too few to say.
}
hatch-of-all = of all eggs
hatch-of-fertilised = of the good eggs
hatch-of-unknown = (not told of what)
comparison-species = Hatched { $of }, by species, { $counted } runs: { $which }.
comparison-female = Hatched { $of }, by female, { $counted } runs: { $which }.
comparison-dose = Hatched { $of }, by dose, { $counted } runs: { $which }.
comparison-water = Hatched { $of }, by the water of the eggs, { $counted } runs: { $which }.
comparison-season = Hatched { $of }, by year, { $counted } runs: { $which }.
comparison-group = { $name }: { $mean } % on average, { $low } to { $high }, { $runs } runs.
comparison-few = { $name }: { $one ->
    [yes] one run, too few to say.
   *[no] { $runs } runs, too few to say.
}
comparison-tag = Female { $tag }
comparison-celsius = { $low }-{ $high } C
comparison-per-kg = { $dose } { $unit } per kg ({ $preparation })
comparison-none = No runs to compare.
comparison-no-cause = Other things differed too: this shows no cause.
left-out-no-eggs = Left out, no eggs: { $dates }.
left-out-not-reported = Left out, not reported: { $dates }.
left-out-no-figure = Left out, hatch not told: { $dates }.
left-out-other-eggs = Left out, told of other eggs: { $dates }.
left-out-no-dose = Left out, dose not known: { $dates }.
left-out-no-water = Left out, water not told: { $dates }.
left-out-no-name = Left out, females without tags of their own: { $dates }.
left-out-pooled = Left out, eggs of several in one lot: { $dates }.
left-out-others = and others
female-mean = Female { $tag }: { $mean } % { $of } hatched on average, { $low } to { $high }, { $counted } times.
female-few = Female { $tag }: { $counts ->
    [none] no hatch of her eggs alone was told.
    [one] one hatch told, too few to say.
   *[other] { $counted } hatches told, too few to say.
}
female-run = { $date }, { $species }, { $kg } kg: { $told }.
female-grams = { $grams } g of eggs, { $percent } % of her weight
female-with = in one lot with { $others }
female-gave-none = gave none
female-gave-died = died
female-gave-stripped = gave eggs, hatch not told
female-gave-waiting = eggs not told
female-gave-running = eggs ran, not told as taken
female-gave-stopped = looks stopped
female-earlier = Before these: { $earlier } more runs.
female-of-one-run = Female { $tag } of one run: in others that name may be another fish.
thing-rest = rest
thing-dose = dose
thing-water = water until the eggs
thing-hours = hours to the eggs
thing-ran = how long eggs ran
thing-looks = looks of the eggs
thing-males = males
thing-milt = time to the milt
thing-fertilised = fertilised share
thing-hatch-water = water of the eggs
differences-head = { $rate }: { $species }, { $date }.
differences-untold = { $species }, { $date }: hatch not told.
differences-others = Your { $others } other runs: { $low } to { $high } %.
differences-few-others = { $one ->
    [yes] One other run only: too few to hold it against.
   *[no] { $others } other runs only: too few to hold it against.
}
differences-no-others = No other run to hold it against.
differences-none = Nothing that was told differed.
differences-same = Not different: { $things }.
differences-not-told = Not told: { $things }.
differences-no-measure = Nothing to hold against: { $things }.
differences-no-cause = These are differences, not causes.
differs-rest-short = Female { $tags } gave eggs { $value } days before; the usual rest is { $low }-{ $high }.
differs-dose-under = Dose { $value } { $unit } per kg, under the usual { $low }-{ $high }.
differs-dose-over = Dose { $value } { $unit } per kg, over the usual { $low }-{ $high }.
differs-water-cold = Water until the eggs down to { $value } C; best is { $low }-{ $high }.
differs-water-warm = Water until the eggs up to { $most } C; best is { $low }-{ $high }.
differs-water-colder = Water until the eggs { $value } C; { $others } other runs { $low }-{ $high }.
differs-water-warmer = Water until the eggs { $value } C; { $others } other runs { $low }-{ $high }.
differs-hatch-water-cold = Water of the eggs down to { $value } C; best is { $low }-{ $high }.
differs-hatch-water-warm = Water of the eggs up to { $most } C; best is { $low }-{ $high }.
differs-hatch-water-colder = Water of the eggs { $value } C; { $others } other runs { $low }-{ $high }.
differs-hatch-water-warmer = Water of the eggs { $value } C; { $others } other runs { $low }-{ $high }.
differs-hours-before = Eggs after { $value } h, before the window: most give after { $low }-{ $high }.
differs-hours-late = Eggs after { $value } h, late: most give after { $low }-{ $high }.
differs-hours-after = Eggs after { $value } h, past the window: most give after { $low }-{ $high }.
differs-ran-long = Eggs ran { $value } min before they were taken; they last { $low }-{ $high }.
differs-milt-long = Eggs lay { $value } min before the milt; they last { $low }-{ $high }.
differs-looks-odd = Eggs looked { $looks }{ $who }.
differs-males-one = One male only.
differs-males-few = { $value } males for each female; usual is { $low }-{ $high }.
differs-fertilised-lower = Fertilised { $value } %; { $others } other runs { $low }-{ $high }.

given-nothing = Nothing given yet.
given-shot = { $tag }, shot { $n }: { $dose } at { $at }{ $by }.{ $sheet }
given-sheet-over = OVER the { $ml } mL of the sheet: watch this fish.
given-sheet-under = UNDER the { $ml } mL of the sheet. No second dose to make up for it.
given-share = That is { $percent } % of the plan.
given-unknown = amount not told
given-total = In all { $amount } { $unit } per kg.

## The brood book

and-more = { $said } and { $more } more
ready-nothing = I know of no female yet. Weigh each with a tag of her own and tell me her eggs by it: then I count her rest.
ready-no-tags = No female has a tag of her own yet.
ready-head = { $rested } of { $females } { $are ->
    [one] female
   *[other] females
} with tags rested long enough:
ready-none = Of { $females } { $are ->
    [one] female
   *[other] females
} with tags none is known to have rested long enough.
ready-no-eggs = No eggs told of { $tags }: no rest to count, only their looks tell.
ready-line = - { $fish }: rested since { $rested }, eggs { $gave }.
ready-line-perhaps = - { $fish }: rested since { $rested }, perhaps eggs { $gave }.
ready-more = { $more } more.
ready-resting = Must rest: { $females }.
ready-rests = { $tag } ({ $days } { $left ->
    [one] day
   *[other] days
}, to { $rested })
ready-untold = No eggs told of { $tags }: only their looks tell.
ready-busy = In a run now: { $tags }.
ready-untagged-no-eggs = { $females } { $species } { $are ->
    [one] female
   *[other] females
} without tags: no eggs told.
ready-untagged = { $females } { $species } { $are ->
    [one] female
   *[other] females
} without tags: newest eggs { $gave }.
ready-untagged-left = { $females } { $species } { $are ->
    [one] female
   *[other] females
} without tags: newest eggs { $gave }, all rested only from { $rested }.
ready-untagged-rested = { $females } { $species } { $are ->
    [one] female
   *[other] females
} without tags: newest eggs { $gave }, all rested since { $rested }.
ready-names = { $name } is only a name within one run: give fish tags to follow them.
ready-rule = { $species } rest { $low }-{ $high } days after eggs ({ $mark }).
ready-look = Ripeness is in no book, look at her first. { $signs }
ready-look-alone = Ripeness is in no book: look at her first.
fish-of = { $tag } ({ $species })
fish-kg = { $kg } kg
fish-head = { $tag }: { $parts }.
fish-sex = { $sex ->
    [f] female
    [m] male
   *[other] sex not told
}
fish-hatched = hatched { $year }
fish-origin = from { $origin }
fish-parents = of mother { $mother } and father { $father }
fish-mother = of mother { $mother }
fish-father = of father { $father }
fish-inbred = { $percent } % inbred by the parents told
fish-lost-died = Died { $day }.
fish-lost-cut = Cut for his milt { $day }.
fish-lost-sold = Sold { $day }.
fish-lost-escaped = Got away { $day }.
fish-weight = { $kg } kg { $day }
fish-weights = Weight: { $weights }.
fish-eggs = Eggs: { $spawnings }.
fish-used = In runs with eggs: { $spawnings }.
fish-no-eggs = No eggs told.
fish-grams = { $grams } g { $day }
fish-gave = some { $day }
fish-none = none { $day }
fish-perhaps = perhaps { $day }
fish-rested = Rested since { $rested }. Look at her first.
fish-resting = { $days } { $left ->
    [one] day
   *[other] days
} of rest left, to { $rested }.
fish-dose = { $day } { $dose }
fish-treated = Hormone: { $doses }. Only the label, the law and a veterinarian can clear a fish.
fish-of-run = { $tag } is only a name within the run of { $day }. Give the fish a tag to follow it.
fish-kept = Kept: { $tag }, { $parts }.
fish-fresh = New in the book: weigh it by that tag, and I follow it.
mates-for = Males for { $females }, those used least first:
mates-any = Males of { $species }, those used least first:
mates-none = I know of no living male of { $species } with a tag of his own.
mates-all-kin = Every male of { $species } with a tag is near kin.
mates-unused = - { $male }: not used this season
mates-used = - { $male }: used in { $used } { $runs_are ->
    [one] run
   *[other] runs
}
mates-kin = Not with { $male }, { $kin }: offspring { $percent } % inbred.
mates-untold = Parents are not all told: whether the others are kin nobody knows.
mates-gone = Cut or gone: { $tags }.
mates-untagged = { $males } { $are ->
    [one] male
   *[other] males
} without tags used this season: nobody knows them apart.
kin-parent = father of { $to }
kin-child = son of { $to }
kin-full-sibs = full brother of { $to }
kin-half-sibs = shares a parent with { $to }
kin-related = kin of { $to }
season-effective = Effective number { $effective }: { $females } { $females_are ->
    [one] female
   *[other] females
}, { $males } { $males_are ->
    [one] male
   *[other] males
} of { $species }, { $runs } { $runs_are ->
    [one] run
   *[other] runs
} with larvae since { $day }.
season-unknown = No effective number for { $species } since { $day }: { $females } { $females_are ->
    [one] female
   *[other] females
} and { $males } { $males_are ->
    [one] male
   *[other] males
} told, { $runs } { $runs_are ->
    [one] run
   *[other] runs
} with larvae.
season-untagged = { $untagged } { $are ->
    [one] has
   *[other] have
} no tag: if one came twice, the number is lower.
season-males-untold = Of { $runs } { $are ->
    [one] run
   *[other] runs
} no male was told.
treated-none = No fish with hormone is told.
treated-none-of = No hormone is told of { $tags }.
treated-head = { $total } fish got hormone:
treated-line = - { $tag }, run { $run }, { $day }: { $dose }; { $fate }
treated-dose = { $preparation } { $dose }
treated-more = { $more } older: "export" sends all, in treated.csv.
treated-clear = Nothing here clears a fish. Only the label, the law and a veterinarian can.
treated-dose-unknown = dose not told
treated-hormone-unknown = hormone not told which,
fate-here = alive as far as told
fate-died = dead
fate-cut = cut
fate-sold = sold
fate-escaped = got away

## What may be taken back

happening-imported = the whole notebook
happening-sold = what was sold
happening-spent = what was paid
happening-opened = the whole run
happening-set-up = what was set up
happening-weighed = the weights
happening-placed = the place
happening-retagged = the name or sex
happening-left-out = that a fish was left out
happening-planned = the hour of the injection
happening-injected = the injection
happening-went-in = the amount that went in
happening-water = the water
happening-not-yet = "not yet"
happening-eggs-run = "eggs run"
happening-stripped = the eggs
happening-no-eggs = "gave none"
happening-died = the death
happening-looks-stopped = the end of the looks
happening-spawn-seen = eggs seen
happening-collected = the eggs collected
happening-eggs-counted = your count of eggs per gram
happening-eggs-weighed = how the eggs were weighed
happening-done = that step
happening-skipped = the skip
happening-postponed = the delay
happening-counted = the count
happening-swim-up = the count at swim-up
happening-trial-asked = the trial bell
happening-told = what was kept
happening-fish-told = what was told of a fish
happening-fish-lost = that a fish is gone
happening-cancelled = the cancel
happening-closed = the end of the run
happening-bottle-in = the bottle
happening-bottle-told = what was told of the bottle
happening-bottle-opened = that the bottle was opened
happening-bottle-keeps = the days of an opened bottle
happening-bottle-wasted = what was wasted
happening-bottle-counted = what was left
happening-draws-from = which bottle it was
happening-change = the change

## Noted

noted-started = Started. Tell me "injected" when it is done.
noted-injected = { $echo ->
    [yes] Injected{ $who }{ $when }, right?
   *[no] Injected{ $who }{ $when }.
}
noted-priming = { $echo ->
    [yes] Primed{ $who }{ $when }, right?
   *[no] Primed{ $who }{ $when }.
}
noted-weighed = Weights noted{ $who }.
noted-water = Water { $celsius } C{ $when }, noted.
noted-water-now = { $word ->
    [guessed] Water { $celsius } C{ $when }, as guessed.
   *[measured] Water { $celsius } C{ $when }.
}
noted-no-thermometer = No thermometer: all right. I use { $celsius } C, and do not ask again tonight.
noted-water-guessed = Water { $celsius } C{ $when }, noted as guessed.
noted-water-kept = Water stays at { $celsius } C.
noted-not-yet = Not yet{ $who }{ $when }. Leave them in peace until the next look.
noted-eggs-run = Eggs run{ $who }{ $when }. Strip now: eggs wait minutes, not hours.
noted-stripping = Stripping{ $who }{ $when }. Dry hands, dry bowl. Then send the grams.
noted-spawned = { $word ->
    [some] A few eggs seen{ $when }. Brood fish out once they rest.
    [no] No eggs yet{ $when }. Leave them in peace.
    [late] Eggs seen{ $when }: noted.
   *[yes] Eggs seen{ $when }. Brood fish out once they rest: they eat eggs.
}
noted-none = Gave none{ $who }{ $when }. No second dose: let her rest.
noted-died = Died{ $who }{ $when }, noted. Her eggs only if they already run freely, and in a bowl of their own.
noted-died-running = Died{ $who }{ $when }. If her eggs run freely: take them now, into a bowl of their own, a spoonful as test lot.
noted-done = { $echo ->
    [yes] { $step }: { $at }, right?
   *[no] { $step }: done.
}
noted-skipped = Skipped: { $step }. Kept as not done.
noted-postponed = I ring again at { $at }: { $step }.
noted-looks-stopped = No more looks{ $who }. Let her rest, no second dose tonight.
noted-no-second-shot = She ran before the second shot{ $who }: no second shot.
noted-label = Bottle { $strength }, noted.
noted-zone = Clock set: it is { $at } with you.
noted-bath-habit = { $word ->
    [after-swelling] Egg bath after swelling: noted, so it stays.
    [before-water] Egg bath before the water, as you do it: noted.
    [own-order] Egg bath in your own order: noted.
    [never] No egg bath: noted, I do not offer it again.
   *[other] Egg bath: noted.
}
noted-iodine-basis = { $word ->
    [available] Your ppm count available iodine: noted.
    [substance] Your ppm count the substance: noted.
    [liquid] Your ppm count the liquid: noted.
   *[other] What your ppm count: noted.
}
noted-photo = Photo kept.
noted-note = Noted.
noted-undone = Taken back: { $thing }.
noted-notebook =
    Send it as a CSV file: a line a run, headings in plain words.
    Date and species; then what you have: females, female kg, injected, dose ml, water, stripped, eggs g, fertilised, hatched, of what, larvae, sold, note.
    Empty: not told.
noted-import-undone = Taken back: all { $number } runs of that notebook.
noted-redone = Put back as it was.
noted-syringes = I use your syringes: { $syringes }.
noted-units = { $word ->
        [metric] Weights in kilos from now on.
        [imperial] Bare weights are pounds from now on, bare water is Fahrenheit. Sheets show both kilos and pounds; water is told in Celsius.
        [kati] Bare weights are kati from now on. Sheets show both kilos and kati.
        [viss] Bare weights are viss from now on. Sheets show both kilos and viss.
        [gallon-us] Gallons are US gallons from now on.
       *[gallon-imperial] Gallons are imperial gallons from now on.
    }
noted-vial-dissolved = Dissolved at { $at }, noted. Keep it cool and dark, and use it before { $until }; after that throw it away.
noted-gland-weight = One gland { $number } mg, noted.
syringe = { $ml } mL, a mark every { $mark }
noted-male-cut = { $tags } cut at { $at }.
noted-fish-tagged = { $word } of the run begun{ $when } is { $tags } from now on, and followed by that tag.
noted-fish-lost = { $word ->
    [died] { $tags } dead: noted.
    [died-treated] { $tags } dead: noted. A treated fish all the same: nothing here clears it for eating.
    [cut] { $tags } cut: noted.
    [cut-treated] { $tags } cut: noted. A treated fish all the same: nothing here clears it for eating.
    [sold] { $tags } sold: noted.
    [sold-treated] { $tags } sold: noted. A treated fish: nothing here clears it for eating. Tell the buyer.
    [escaped-treated] { $tags } got away: noted. A treated fish: nothing here clears it for eating.
   *[escaped] { $tags } got away: noted.
}
noted-egg-count = { $number } eggs per gram, from your own count.
noted-count-of = { $word ->
    [all] Counted of all eggs: noted.
    [fertilised] Counted of the good eggs: noted.
   *[other] Not known of what: noted so.
}
noted-counted = Count noted.
noted-eggs-more = { $number } g more{ $who }, noted.
noted-eggs-dry = Dry grams: noted.
noted-eggs-wet = Weighed after water: too heavy to count eggs from. Noted.
noted-eggs-of = Eggs of { $tags }: noted.
noted-fertilised = { $echo ->
    [yes] Milt on the eggs{ $when }, right?
   *[no] Milt on the eggs{ $when }.
}
noted-not-hatched = Not hatched yet{ $when }. Leave them in peace.
noted-trouble = Noted with the run.
noted-sold = { $number } larvae sold or stocked: noted.{ $counted ->
    [yes] {" "}In all { $total } of { $whole } hatched.
   *[no] {" "}In all { $total }.
}
noted-order = { $number } larvae ordered: noted.
noted-expense = Cost noted.
noted-no-bottle = No bottle told for this run: the ledger shows it on a line of its own.
noted-shelf-seen = Seen to, noted.
noted-all-settled = You told of every female. No more looks.
noted-placed = Put into { $word }{ $who }.
noted-sex = { $word ->
    [f] { $tags }: female, noted.
    [m] { $tags }: male, noted.
   *[other] { $tags }: noted.
}
noted-male-dose = His dose is in.
noted-no-male-dose = No dose for him.
noted-not-given = Not injected{ $who }: noted.
noted-left-out = Left out{ $who }.
noted-less-given = { $number } mL went in{ $who }: noted. No second dose to make up for it.
noted-species = Species: { $species }.
noted-way = { $word ->
    [stripped] You will strip them.
    [nest] They spawn on the mat.
    [hapa] They spawn in the hapa.
   *[other] Noted.
}
noted-plan = Agreed: inject at { $at }.
noted-gone-ahead = That bell is past; the night went on.
noted-first-fed = First feed{ $when }, noted.
noted-closed = Run closed.
noted-member-added = { $word } is one of you now. What { $word } said before was not kept: say it again.
noted-member-refused = { $word } stays outside.
noted-member-asked = { $word } was asked about; the founder answers.
noted-member-reads = { $word } opened your link and reads along.
noted-member-left = { $word } left the farm.
noted-member-removed = { $word } is off the farm: no bells, no answers.
noted-joined = Welcome to the farm { $word }. You read along: ask whatever you like.
noted-joined-waits = Welcome to the farm { $word }. You can ask already; the owner must say yes before you tell and answer.
noted-now-hand = You are a hand of the farm { $word } now: tell, answer bells. I ring here too.
noted-only-reads = You read along on the farm { $word }: ask whatever you like. Telling is for its hands.
noted-links-revoked = No link of yours opens any more. Make a new one when you need it.
noted-left-farm = You left the farm { $word }. It rings you no more.
noted-sent-away = You are off the farm { $word }. It rings you no more.
noted-farm-offered = I asked { $word }. It stays yours till they say yes.
noted-farm-not-taken = { $word } does not take the farm. It stays yours.
noted-new-owner = The farm belongs to { $word } now.
noted-you-own = The farm { $word } is yours now. The one before you stays as a hand.
noted-duty = { $word } has the night, until { $at }: I ring { $word } first. If nobody answers I ring the others.
noted-duty-in-room = { $word } has the night, until { $at }. I cannot ring everybody of them alone, so I ring in the group.
noted-duty-everybody = Nobody has the night alone: bells ring everybody at once.
noted-you-have-duty = You have the night, until { $at }: I ring you first. { $word } said so.
noted-private-bells = I ring you in our own chat too from now on.
noted-no-private-bells = I ring you in the group alone.
noted-farm-deleted = Deleted. Silent from now on, gone for good { $at }. Copies made for safety keep it till they are replaced.
noted-farm-deleted-by = { $word } deleted the farm. It is silent, and gone for good { $at }. Only { $word } can undo it.
noted-farm-restored = The farm is back, all of it. Its bells ring again.
noted-export-in-private = It is for you alone: look in our own chat.
noted-farm-picked = From here on: { $word }.
noted-language = I speak English with you now.
noted-no-change = All right, nothing changes.
noted-kept = Kept as it was.
noted-trial = A trial bell rings at { $at }. Put the phone where it will lie tonight.
noted-thanks = Good.
noted-group-hello = I am Hatchbell. The first to write here starts this farm. Begin with weights, or "help".
noted-group-privacy = In this group I only see commands and replies to my messages. To let me hear all of it, turn privacy mode off at the bot maker, then take me out and in again; or talk to me alone.
noted-out-of-reach = { $word } cannot be reached any more: my messages there are refused. Look after the bells yourselves.
noted-restored = I was set back to { $at }. What you told me since then I do not know any more: please tell it again. Buttons shown since then do nothing.
noted-was-away = I was away from { $at } to { $until }. Please send again what you sent in between.
noted-operator-row-aside = Message { $number } could not be dealt with three times; it is set aside.
noted-operator-unsendable = Message { $number } was refused by the messenger: { $word }.
noted-operator-out-of-reach = A chat cannot be reached any more.
noted-operator-clock-wrong = The computer's clock says { $at }, the messenger's { $until }. Nothing rings and nothing is answered until they agree: set the clock.
noted-operator-clock-right = The computer's clock is right again: { $at }. Bells that came due meanwhile ring now.
noted-operator-token = The messenger refuses our token. I go on asking.
noted-operator-full = The disk is full. I take in and ring nothing new until there is room; what is stored stays. Make room now.
noted-operator-full-over = There is room on the disk again; I go on.
noted-operator-locked = Another program holds the database. I take in and ring nothing new until it lets go; stop it.
noted-operator-locked-over = The database is free again; I go on.
noted-operator-conflict = Somebody else asks for our messages: a second bot runs with this token.
noted-keep-away = Hormone is not for pregnant or asthmatic people: let somebody else mix, draw and inject. Any of it on the skin or in the eye: wash with much water, then a doctor, with the bottle's label in hand.
noted-first-aid = Needle, spine or splash: let it bleed, wash with soap and much water now. Then a doctor, with the bottle's label in hand; at once for the pregnant, the asthmatic, or anything in an eye.
noted-settled-already = Noted{ $who }{ $when }. You told of her before, so she is not looked at again.
noted-one-shot = With { $preparation } one shot is all I know for this fish: I split no dose. If you prime all the same, tell me what you gave and when; no hour of the final shot comes from me.
noted-shots = With { $preparation } the card has { $number } shots: they stand on the sheet, the small ones first.
noted-priming-alone = Primed{ $who }{ $when }, right? Noted. With { $preparation } I know no hour for a final shot here: no bell rings for it. Tell me when you give it.
noted-prepared = Injected with { $preparation }, noted. The sheet was for another: tell me how much went in, for each kg.
noted-prepared-known = Injected with { $preparation }, noted.
noted-well = Good. Not answered yet: { $step }.
noted-greeting = I am here.

## Mended

corrected = { $of ->
    [water] Water corrected: { $before } is now { $after }.
    [injected] Injection corrected: { $before } is now { $after }. The bells follow.
    [stripped] Eggs corrected: { $before } is now { $after }.
    [collected] Eggs corrected: { $before } is now { $after }.
    [counted] Count corrected: { $before } is now { $after }.
    [step] { $step }: { $before } is now { $after }.
    [eggs-run-at] Eggs run: { $before } is now { $after }.
    [stripped-at] Stripped: { $before } is now { $after }.
    [no-eggs-at] "Gave none": { $before } is now { $after }.
    [died-at] Died: { $before } is now { $after }.
    [spawn-seen-at] Eggs seen: { $before } is now { $after }.
    [collected-at] Eggs collected: { $before } is now { $after }.
    [counted-at] Counted: { $before } is now { $after }.
   *[other] Corrected: { $before } is now { $after }.
}
mended-weight = { $tag } { $kg } kg
mended-water = { $celsius } C
mended-litres = { $place }{ $litres } L
mended-eggs = { $tag } { $grams } g
corrected-same = Corrected as you wrote it.
corrected-injected-fish = Already injected: { $tags }.
corrected-old-dose = { $before } mL went in; { $after } mL would have been right.
corrected-no-second = No second dose; only the record changes.

cancelled = { $species }: run cancelled, no more bells.
cancelled-treated = Treated fish: { $tags }. Nothing here clears them for eating.

## How things stand

status-nothing = Nothing is open. Send weights to begin.
status-draft = { $name }: weighed, not started.
status-open = { $name }: running.
status-closed = { $name }: closed.
status-not-reported = { $name }: closed, hatch not reported.
status-cancelled = { $name }: cancelled.
status-injected = Injected { $at }.
status-females = { $settled } of { $females } females done.

answered = { $by } answered{ $when }{ $step }. Nothing changed.
answered-elsewhere = { $by } answered{ $when }{ $step }. It rings no more.
answered-somebody = Somebody
answered-step = ({ $step })
export = One ZIP: { $runs } { $runs_are ->
    [one] run
   *[other] runs
}, { $people } { $people_are ->
    [one] person
   *[other] people
}, all that is kept of this farm as of { $at }. Begin with runs.csv; README.txt explains the rest. It holds names: think whom you give it to.

season-table = { $runs } { $runs_are ->
    [one] run
   *[other] runs
}, { $first } to { $last }, one row each.
season-table-xlsx = The sheet "columns" says what each column is, with its unit.
season-table-csv = Empty: not told. README.txt of "export" says what each column is, with its unit.
season-table-missing = No workbook here: the extra "files" is not installed. CSV opens in any spreadsheet too.

run-sheet = { $after ->
    [yes] One page for the wall: what came of it.
   *[no] One page for the wall: what to get ready, what to draw, every time of the night.
}
run-sheet-missing = No page can be made here: the extra "files" is not installed. Copy the plan and the doses by hand; figures of all runs come as CSV: "season as csv".

paper-title = { $species }, run { $run }
paper-under = { $date }{ $farm }
paper-farm = , { $farm }
paper-plan = Times
paper-alarm = Phone alarm { $at }
paper-doses = Draw
paper-result = Result
paper-given = What went in
paper-care = Take care
paper-about = about { $step }
paper-fish = fish { $n }
paper-kg = { $kg } kg
paper-no-dose = no dose
paper-optional = { $dose }, optional
paper-write-injected = Injected at
paper-write-water = Water, C
paper-write-eggs-run = Eggs run at
paper-write-grams = Eggs, g
paper-write-good = Good of counted
paper-write-hatched = Hatched of counted

imported-taken = { $taken } of { $rows } rows are runs now, { $first } to { $last }. No bell rings for them.
imported-none = None of { $rows } rows was taken.
imported-order-day-first = Days were read as day, month, year: other days of the file, or you, said so.
imported-order-month-first = Days were read as month, day, year: other days of the file, or you, said so.
imported-known = There already: line { $lines }.
imported-left = Not taken, { $left } { $left_are ->
    [one] row
   *[other] rows
}; mend them and send the file again, what stands is not taken twice:
imported-aside = Taken, but without this:
imported-fault = - { $where }{ $heading }: { $why }{ $cell }
imported-line = line { $lines }{ $more }
imported-lines-more = { " " }and { $more } more
imported-file = the file
imported-heading = , "{ $heading }"
imported-cell = { " " }("{ $words }")
imported-more = { $more } more kinds of faults are not named.

notebook-no-table = no table in it; a CSV with a line of headings is wanted
notebook-too-long = too many rows or columns; send it in parts
notebook-no-column = no such column
notebook-unknown-column = nobody knows what this column means
notebook-column-twice = a column of this meaning was there before
notebook-empty = nothing in it
notebook-no-number = no number
notebook-unit = a unit that does not belong here
notebook-thousand-or-fraction = thousands, or a fraction? No other number of the file shows it
notebook-which-is-the-month = which is the month? Other days of the file contradict each other
notebook-no-day = no day
notebook-no-hour = no hour
notebook-not-past = not a day of the past
notebook-other-day = not the day of the row
notebook-no-females = how many females, and their weight, must be told with it
notebook-not-all = of some females only; which ones is not known
notebook-not-so-many = not as many as there are females
notebook-not-the-sum = not the sum of the weights
notebook-how-many-females = of how many females?
notebook-all-or-each = of all females, or of each? Head the column "female kg" or "mean kg"
notebook-no-weight = their weight must be told with it
notebook-hour-alone = the injection has no hour, so its day is not known
notebook-not-after-injection = not within four days after the injection
notebook-no-hour-told = its hour is not known
notebook-none-gave = none gave eggs, yet eggs are told
notebook-no-strength = not as on a label: ug + mg in a mL
notebook-out-of-range = more or less than can be
notebook-no-whole-number = no whole number
notebook-no-such-word = none of the words for it
notebook-half-a-sample = good ones and all of the sample are both needed
notebook-not-the-sample = not the percent of the sample
notebook-share-or-percent = a share of one, or a percent? Write the sign for percent
notebook-no-sample = no such sample can be
notebook-no-brood-fish = kg no brood fish of this species has
notebook-no-such-water = C of water no run of this species bears
notebook-too-many-eggs = g of eggs, above a fifth of her weight: weighed after water?
notebook-no-species = no species of this name is known here

welcome =
    I am Hatchbell. I work out doses, ring through the night and keep the record of your spawnings.
help-head = What you can tell me, in your own words:
help =
    - to begin: the species, f and kilos, m and kilos
    - "injected", with the hour if it was earlier
    - the water, when you read it
    - at each look: "not yet", "eggs run", or grams for each female
    - "done", "later", "skip" under a bell
    - counts: how many good of how many, how many hatched
    - an order: how many larvae, by which day
    - ask: "what next?", "when do we strip?", "last hatch rate?", "why?"
    - brood fish by their tags: "which females are ready?", "treated fish list"
    - bottles of hormone: their mL, lot and exp; "enough hormone for tomorrow?", "ledger"
    - "undo" takes back; "cancel" ends a run
    Trouble with power, air, water or cold: just say so.

## Why

# Two lines: the reasons, one after the other, and where they come from. A reason is one short sentence; two
# lines of about two hundred signs each must hold them with their values.
reason-over = What that was about is over.
reason-told = As you told it.
reason-ledger = What came in, less what went into fish and what you told as wasted; a count sets it right.
reason-ledger-reckoned = What it held is what you counted, and all that had gone before.
reason-bottle-keeps = The label tells how long; beside it stands what is common.
reason-need-planned = Tomorrow takes what the sheets say, waste included.
reason-need-usual = Tomorrow may take what your last { $runs } runs took, on average.
reason-bottle-low = Rung the morning after a needle that left less than a run of yours takes, by the newest { $runs } at most.
reason-bottle-expires = Rung { $days } days before the label's last day, { $opened } day before an opened bottle ends.
reason-range = Sources go from { $low } to { $high }.
reason-apart = Shortest: { $short }; longest: { $long }.
reason-borrowed = No hours known for this preparation: the nearest ones, widened.
reason-widened = Widened: water outside the reports; hours far outside add nothing.
reason-no-figure = No figure known: nobody published one, and I do not guess.
reason-no-figure-there = No figure known for { $celsius } C: hours were reported from { $low } to { $high } C only.

reason-dose-ml = { $tag }: { $per_kg } { $unit } per kg x { $kg } kg, through { $held } { $unit } per mL: { $ml } mL.
reason-dose-amount = { $tag }: { $per_kg } { $unit } per kg x { $kg } kg: { $amount } { $unit }.
reason-dose-none = No dose for these fish: he gets none, or the sex is not told.
reason-dose-carrier = Dissolved in { $carrier } mL per kg of fish.
reason-dose-thinned = Thinned, as fewer than five marks are not measured well.
reason-shots = In { $shots } shots together.
reason-shot-before = This shot { $apart } h after the one before.
reason-shot-after = The next shot { $apart } h after this one.
reason-course = { $given } { $unit } given and { $coming } to come: { $total } { $unit } per kg. Sources go from { $low } to { $high }.
reason-given = { $tag }: { $ml } mL x { $held } { $unit } per mL: { $amount } { $unit }, as you told it.

reason-curve = { $degree_hours } degree-hours above { $zero } C, x { $factor }: { $hours } h { $since } at a mean { $celsius } C; reports: { $low }-{ $high } h.
reason-curve-bare = { $degree_hours } degree-hours above { $zero } C: { $hours } h { $since } at a mean { $celsius } C; reports: { $low }-{ $high } h.
reason-curve-flat = { $hours } h { $since }, whatever the water there; reports: { $low }-{ $high } h.
since-inject = from the last injection
since-fertilise = from the milt
since-strip = from the stripping
since-check-nest = from eggs seen
reason-hour-free = The hour is yours to choose: mine lets you sleep.
reason-hour-yours = The hour is yours to choose.
reason-alarm = Alarms { $before } min before the first look, and before a needle in the hours of sleep.
reason-hold = They bear { $borne_low }-{ $borne_high } C. Hours were reported at { $low }-{ $high } C; I go { $beyond } C further, and ask the water every { $again } h.
reason-count-before = Count { $count } h { $since }.

reason-rest = From her eggs till she is spawned again: { $low }-{ $high } days by those who told.

reason-get-ready = { $after } { $unit } before the needle.
reason-look-life = Looks every { $every } min: half the egg life, { $life } min.
reason-look-house = Looks every { $every } min.
reason-look-running = Eggs run already: looks every { $every } min.
reason-again = Rings every { $again } min till answered, { $times } times at most.
reason-strip-within = Rung { $within } min after eggs began to run.
reason-egg-life = Eggs keep about { $life } min.
reason-fertilise = Rung { $after } { $unit } after the eggs were told.
reason-milt = Milt: { $milt } mL per kg of eggs x { $grams } g.
reason-destick = { $after } { $unit } after the milt.
reason-load = Eggs swell { $after } { $unit } from the milt.
reason-load-collected = { $after } { $unit } after collecting.
reason-in-the-bath = { $minutes } min in the bath.
reason-after-swelling = It begins once they are swollen, { $swell } min after the milt.
reason-care = Every { $after } { $unit } until larvae come.
reason-check-fertilised = Good eggs can be told from dead ones { $after } { $unit } { $since }.
reason-check-brood = { $after } { $unit } after the stripping, and again next morning.
reason-set-live-food = Live food is set { $lead } h before the first feed.
reason-first-feed = First feed { $feed } h after hatching.
reason-swim-free = They swim free { $after } { $unit } after hatching.
reason-from-forecast = Hatching is not told: I count from its likely hour.
reason-remove-brood = { $after } { $unit } after eggs were seen.
reason-collect-eggs = Eggs are taken to be firm { $after } { $unit } after they were seen.
reason-check-water = On hold, the water is asked every { $after } { $unit }.
reason-all-well = Each evening at { $at }, while a run is open.
reason-trial = A trial rings { $after } { $unit } after you asked.

reason-eggs = { $grams } g x { $per_gram } eggs per gram of dry eggs.
reason-eggs-own = { $grams } g x { $per_gram } eggs per gram, your own count.
reason-jars-for = { $eggs } eggs over { $each } in one of { $litres } L.
reason-jars-each = { $each } swollen eggs in { $litres } L were told.
reason-jars-flow-one = { $flow } L a minute were told for { $litres } L.
reason-jars-flow = { $flow_low }-{ $flow_high } L a minute were told for { $litres } L.
reason-milt-need = { $low }-{ $high } mL of milt per kg of eggs were told.
reason-milt-thin = { $parts } parts of saline to one of milt gave the most larvae of those tried.
reason-brood = Four times females times males over both together; inbreeding is one over twice that.
reason-brood-told = The mean of several generations is the harmonic one; inbreeding is one over twice it.
reason-brood-advice = At most { $most } % a generation is what FAO advises, as a textbook tells: an effective number of { $advised }.
reason-brood-season = Four times females times males over both together, each fish once; unequal families make it lower.
reason-kin = Offspring are inbred by the kinship of their parents, by the parents you told; those untold count as strangers.
reason-brood-males = { $low }-{ $high } males for a female were told.
reason-own-count = Your own count, told { $at }.
reason-card-count = Beside it the card knows { $low }-{ $high }.
reason-litres = { $litres } L of swollen eggs x { $per_ml } eggs per mL; how far they swell hangs on the water.
reason-litres-own = { $litres } L of swollen eggs x { $per_ml } eggs per mL, your own count.
reason-order = Larvae over the shares that hatch and live, over eggs per kg, over the females that give.
reason-order-eggs = { $larvae } larvae, of { $hatched } % that hatch: { $eggs } eggs.
reason-order-reared = { $larvae } larvae, of { $hatched } % that hatch and { $reared } % that live: { $eggs } eggs.
reason-order-females = At { $per_kg } eggs per kg, of { $gave } % that give: { $kg } kg of females.
reason-count = { $good } of { $total }, your count; { $low }-{ $high } % is the doubt that so small a count leaves.
reason-larvae-cups = { $mean } a cup, times { $times }: so often a cup goes into the water. The doubt is what chance does to { $counted } larvae counted.
reason-larvae-wider = Wider, since the cups differ.
reason-survival = Each number over the last one told before it.
reason-survival-eggs = Eggs are your grams or litres times the usual count of them, with its whole range.
reason-survival-doubt = The doubts of both are put together.
reason-per-kg = What you told, over { $kg } kg: all females that were injected.
reason-stocking = Densities as trials and lessons report them, times what you told.
reason-larvae-by = { $amount } times { $each }, by your own measure.
reason-measure = As you counted it.
reason-measure-surveyed = A survey of hatcheries found { $low } to { $high } spawn in a mL.
reason-measure-apart = Measures differ from farm to farm, so yours is asked.
reason-sample-larvae = By chance a count varies by its own root: that is { $percent } % of { $larvae }, nearly always.
reason-sample-eggs = A share is least sure where half the eggs are good; that is reckoned with.
reason-count-told = As you told it; without counts I know no doubt of it.
reason-bath-ml = { $target } mg/L x { $litres } L, through { $held } mg in a mL of stock: { $ml } mL.
reason-bath-grams = { $target } { $unit }/L x { $litres } L: { $grams } g.
reason-bath-strength = { $target } { $unit }/L; the amount hangs on litres and on the bottle.
reason-bath-reported = Reported: { $low }-{ $high } { $unit }/L.
reason-bath-reported-one = Reported: { $low } { $unit }/L.
reason-bath-kills-half = { $limit } { $unit }/L killed half.
reason-bath-kills-all = { $limit } { $unit }/L and more killed all.
reason-bath-none-hatch = At { $limit } { $unit }/L none hatched.
reason-malachite-green = The law of many countries forbids it for fish that are eaten: it stays in them, and harms people.
reason-result = Your own counts and hours, as you told them. No source has a part in them.
reason-result-told = Your own counts and hours, as you told them; the hatch { $at }. No source has a part in them.
reason-result-counted = Counts and hours as you told them.
reason-result-counted-at = Counts and hours as you told them; the hatch { $at }.
reason-result-all-from-other = Of all eggs: that of the good ones, times their share.
reason-result-fertilised-from-other = Of the good eggs: that of all, over their share.
reason-result-eggs = Eggs: grams or litres times the usual count of the species.
reason-result-eggs-own = Eggs: grams or litres times your own count.
reason-result-window = Hours expected: by this run's water.
reason-result-window-assumed = Hours expected: by the middle of the best water, since none was told.
reason-comparison = Plain means of the runs with a figure, of one kind of eggs. Fewer than { $enough } have no mean.
reason-best-run = The runs with a figure, of one kind of eggs, put in order.
reason-female = What you told of her, run by run. Fewer than { $enough } have no mean.
reason-differences = What you told, held against the card of the species and your other runs.
reason-money = The plain sum of what you told as paid and taken. One money is never turned into another.
reason-summary = The plain mean of all runs with a hatch figure: { $counted }. Without one, in no average: { $left_out }.

reason-water-assumed = Nobody told the water: { $celsius } C is the middle of their best range, { $low }-{ $high } C.
reason-water-far = They bear { $low }-{ $high } C; more than { $beyond } C outside that is asked again.
reason-weights = Taken for possible: females { $low }-{ $high } kg, males { $male_low }-{ $male_high } kg.
reason-count-soonest = Good eggs can be told from dead ones { $after } h { $since }, not before.

source = Source: { $sources }
source-of = { $names } ({ $mark })
source-then = { $before }; { $last }
source-more = { $said }; and { $count } more
source-whole = { $said }. The whole: { $mark }
source-end = { $said }.
source-and-rule = { $said }. The rest: this bot's own rule.
source-rule = A rule of this bot's own: no source.
source-own = you

## Cautions, each once

caution-gloves = Wear gloves. Not for pregnant or asthmatic people. The label, local rules and a fish vet come first.
caution-read-as-grams = Your weights were read as grams.
caution-label-first = The bottle's label comes before anything I say.
caution-treated-fish = Every injected fish is a treated fish; a cut male too, though he is dead. Nothing here clears a fish for eating.
caution-cut-after-eggs = Do not cut a male before eggs run.
caution-one-male = One male only is a risk: have a second one ready.
caution-watch-gills = One person watches the gills all the time; do not wait for a bell.
caution-no-second-dose = No second dose tonight, whatever happens.
caution-egg-bath = Egg bath: its worth is disputed. A small test lot first. Never on unfertilised eggs, eggs about to hatch, or larvae.
caution-bath-before-water = A bath before the water can spoil fertilising: milt and iodine do not go together. Try a test lot the other way.
caution-spent-females-may-die = In one trial all spent females died within hours after a premix: watch them.
caution-no-strong-formalin = No strong formalin on catfish eggs: half a gram a litre killed them all.
caution-larvae-shun-light = Keep larvae dark: they shun light.
caution-cut-treated = He is a treated fish though dead: nothing here clears him for eating, feeding or sale.
caution-no-eggs-yet = No eggs run yet: cut no other male before they do.
caution-count-far = That count is far from what is reported: count a second sample before you trust it.
caution-urine-spoils-milt = Milt with urine in it is spent: throw it away.
caution-tannin-after-swelling = Tannin only after swelling is over.
caution-never-chill = Never chill catfish eggs.
caution-phone-alarm = A chat message wakes no sleeper.
caution-vet = Many die or look ill? Ask a fish vet or the fisheries office; keep some fish for them.
caution-eggs-need-current = Eggs want a soft current and much air until they hatch: they must never lie still.
caution-too-warm-kills-eggs = Too warm kills these eggs: shade them, or add cooler water.
caution-larvae-eat-each-other = Hungry larvae eat each other: food before the yolk is gone, at night too.
caution-handle-brood-gently = These brood fish leap and bruise: keep them wet and calm.
caution-spines-sting = Its fin spines sting badly: thick gloves, or hold it in a net.
caution-never-bath-larvae = Never an egg bath on eggs about to hatch, or on larvae.
caution-stock-slowly = Float the bag, let the water mix slowly, in the cool of the day.
caution-take-whites-out = Now take the white eggs out, before they grow woolly.
caution-test-lot = Doubtful eggs stay in a bowl of their own, never pooled.
caution-none-is-final = "None" ends her looks; "not yet" keeps them.
caution-two-liquids = Fertilising and de-sticking liquids are two different ones: do not swap them.
caution-whites-after-count = White eggs come out after the count, not before.
caution-larvae-on-material = Larvae hang on the mat until they swim free: put it back if any still do.
caution-they-jump = They jump: tanks covered.
caution-brood-eats-eggs = Brood fish eat eggs.
caution-syringe-check = Read the syringe twice: a misread mark is a wrong dose.
caution-assumed-water = Without a thermometer the hours are rougher.
caution-wide-forecast = These hours are rough: start looking early.
caution-keep-apart = Injected females and males apart, tanks covered.
caution-bottle-expired = The bottle for this is past its day: take a fresh one if you can.
caution-bottle-short = There is less in the bottle than this takes.
caution-strength-assumed = The bottle's strength is assumed: check the label before you draw.

## The one question after a message

ask-water = How warm is the water?
ask-temperature-again = And the water now?
ask-eggs-from-others = Eggs from the others?
ask-count-of = Of all eggs, or of the good ones?
ask-bottle-amount = How much is in it? Type: mL left in the bottle.
ask-bottle-expiry = What is the expiry on its label?
ask-bottle-days = How many days does its label give once opened?
ask-label = What does the bottle's label say per mL?
ask-zone-clock = What time is it where you are?
ask-sex = Which are females, which males?
ask-grams-dry = Were those grams dry, before any water?
ask-time = Is the time right?
ask-how-many-hatched = How many hatched, of how many?
ask-count-sample = How many good ones, of how many eggs?
ask-grams = How many grams?
ask-eggs-per-ml = How many eggs are in one mL?
ask-spawned-when = When did you first see eggs?
ask-litres = How many litres?
ask-which-liquid = Which of them?
ask-iodine-basis = What does your ppm count: available iodine, the substance, or the liquid? They lie up to a hundredfold apart.
ask-eggs-or-tools = Is it for eggs, or for tools and nets?
ask-bath-habit = An egg bath: when do you do it?
ask-strip-hour = When do you want to strip?
ask-injected-time = When was it injected?
ask-species = Which species?
ask-start = Start?
ask-whose-eggs = Whose eggs were they?
ask-milt = Milt on?
ask-fed = Fed?
ask-spent-females = How are the spent females?
ask-order-day = By which day?
ask-anything-else = Anything else?

## Questions

ask-why-no-such-female = I know no run with a female { $tags }.
ask-why-no-such-name = Nobody here is called "{ $words }".
ask-why-opened-link = { $words } opened your link.
ask-why-cups-over-water = The cups hold more than { $number } L.
ask-why-bad-count = That is no number of larvae.
ask-why-not-calibrated = { $numbered ->
    [yes] Hatcheries count from { $number } to { $limit } spawn in a mL: no figure but your own will do.
   *[no] Cups differ from farm to farm.
}
ask-why-no-eggs-told = No run with eggs yet.
ask-why-no-kilos = The weights of her females are missing.
ask-why-larvae-told = Larvae at hatch were counted before.
ask-why-no-number = I found no number.
ask-why-implausible = { $numbered ->
    [yes] { $number } is hard to believe.
   *[no] That is hard to believe.
}
ask-why-ambiguous-unit = I am not sure of the unit.
ask-why-ambiguous-intent = That could mean several things.
ask-why-not-ours = {""}
ask-why-asked = {""}
ask-why-act-time = {""}
ask-why-count-wanted = {""}
ask-why-females-looked = {""}
ask-why-nest-looked = {""}
ask-why-not-told = {""}
ask-why-sex-unknown = I do not know the sex of { $tags }.
ask-why-several-so-called = More than one fish is called { $words }.
ask-why-no-hour = {""}
ask-why-no-run = No run is open.
ask-why-no-hatch-yet = No hatch figure yet.
ask-why-same-again = The same weights again.
ask-why-almost-the-same = Almost the same weights again.
ask-why-eggs-may-come = Eggs may come until { $at }.
ask-why-fewer-primings = Fewer priming shots than usual so far: { $number }.
ask-why-more-than-hatched = { $number } sold in all, more than were counted.
ask-why-long-before-look = { $number } g of eggs, hours before the first look?
ask-why-eggs-collected = Collected{ $when }, noted.
ask-why-grams-in-hapa = { $number } g of eggs? They were to spawn in the hapa by themselves.
ask-why-grams-in-nest = { $number } g of eggs? They were to spawn on the mat by themselves.
ask-why-implausible-litres = { $number } L of eggs? That is more than these females can carry.
ask-why-litres-told = { $number } L were told before.
ask-why-eggs-told = { $numbered ->
    [yes] Eggs were told before.
   *[no] Eggs of { $tags } were told before.
}
ask-why-long-before-count = Good eggs cannot be told from others before about { $at }.
ask-why-plan-past = It was planned for { $at }. Nobody told me whether it was done.
ask-why-unit-of-another = { $words } does not fit the hormone on the sheet.
ask-why-other-before = The shot before was noted as another preparation: { $words }. I keep one for each run.
ask-why-injected-told = They count as injected{ $when }.
ask-why-run-of-it = Another run of { $words } is open.
ask-why-clock-unknown = I do not know your clock yet.
ask-why-half-label = Half a label: the dose hangs on both parts, the hormone in ug and the blocker in mg.
ask-why-long-before-larvae = The first larvae are looked for { $at }.
ask-why-unknown-syringe = I know no syringe of { $number } mL with such marks.
ask-why-over-twice = { $number } { $unit } per kg is more than twice the most that is usual, { $limit }. It can kill her; I reckon no such dose without a reason.
ask-why-wrong-dose-unit = A dose of { $preparation } is not told in that unit.
ask-why-unknown-plan = I do not know what was planned, so I cannot work out a part of it.
ask-why-no-sheet = A dose of your own needs a sheet first.
ask-why-label-for-dose = How many mL that is, only the label tells.
ask-why-already-injected = They are injected already{ $when }. No second dose.
ask-why-not-injected = No injection was told yet.
ask-why-before-needle = { $at } is before the injection.
ask-why-after-eggs = There were eggs at { $at }, before that injection.
ask-why-soon-before-eggs = There were eggs at { $at }, too soon after that injection.
ask-why-milt-before-eggs = Milt at { $at } is before the eggs.
ask-why-other-place = { $tags } is noted in another place, not in { $words }.
ask-why-no-eggs-yet = No eggs were told yet.
ask-why-no-total = I need the total too.
ask-why-long-ago = That is long ago.
ask-why-not-come-yet = That time is still to come.
ask-why-new-voice = Somebody new writes here.
ask-why-generations-differ = You told { $number } numbers, and not as many generations.
ask-why-not-a-male = { $tags } is no male.
ask-why-not-named = That fits several fish.
ask-why-unknown-tag = I know no fish "{ $words }" in this run.
ask-why-several-batches = There are several lots of eggs.
ask-why-several-groups = They were injected at several times.
ask-why-several-places = They stand in several places.
ask-why-unknown-zone = I know no place "{ $words }".
ask-why-no-figure-before = There is no figure above to explain.
ask-why-several-runs = Several runs are open.
ask-why-none-of-that = No run of { $words } is open.
ask-why-no-fish-there = I have no fish in { $words }.
ask-why-not-of-that = That does not fit { $words }.
ask-why-several-bells = Two bells ring.
ask-why-label-swapped = { $number } ug and { $words } mg? The two parts look swapped.
ask-why-label-unusual = { $number } ug and { $words } mg? That is an unusual strength.
ask-why-no-bell = No bell is ringing.

ask-about-which-shot = The final one, or priming again?
ask-about-larvae-per-ml = Count one mL once: how many spawn are in it?
ask-about-larvae-per-cup = Count one cup once: how many larvae are in it?
ask-about-cup-ml = How many mL does a cup hold?
ask-about-cup-litres = Out of how many litres were they dipped?
ask-about-cup-counts = How many larvae were in each cup?
ask-about-larvae-stage = Is this a new count at hatch, or at swim-up?
ask-about-expense = How much was paid? As in: bought feed, with the amount.
ask-about-sold = How many larvae were sold?
ask-about-syringes = Which ones do you have, in mL?
ask-about-dose-reason = Did a fish vet order it? Then write the reason: it stays with the run. Or "no".
ask-about-own-dose = How much for each kg of female, all shots together?
ask-about-gland-weight = How many mg does one gland weigh?
ask-about-weights = { $why ->
    [implausible] Which weight did you read on the scale?
   *[other] What are the weights? Species, f and kilos, m and kilos.
}
ask-about-no-run = { $why ->
    [no-hatch-yet] Send the count when larvae are out.
   *[other] Send weights to begin a run.
}
ask-about-which-run = Which run?
ask-about-notebook-species = "{ $words }": which species is it? Nothing is taken yet.
ask-about-day-or-month = "{ $words }": which comes first, the day or the month? No day of the file shows it. Nothing is taken yet.
ask-about-which-group = Which of them?
ask-about-which-batch = Which eggs?
ask-about-which-place = Which place?
ask-about-candidates = Which is it?
ask-about-candidate = Is this what you mean?
ask-about-more-fish = More fish, or the same ones?
ask-about-instead = Instead of those before, or more fish?
ask-about-none-early = None at all, or not yet{ $who }?
ask-about-eggs-early = Are they stripped already?
ask-about-eggs-again = More eggs, or of those told before?
ask-about-counted-early = Counted already?
ask-about-eggs-of = Are these eggs of { $tags } all the same?
ask-about-injected-yet = Is it injected already?
ask-about-not-injected = Take the injection back{ $who }?
ask-about-change-sheet = Is this sheet for { $words }?
ask-about-hatched-early = Did they hatch already?
ask-about-undo = { $why ->
    [injected] Take this back: { $thing }{ $when }? What went into a fish stays in it.
   *[other] Take this back: { $thing }{ $when }?
}
ask-about-eggs-or-none = Did she give eggs, or none?
ask-about-eggs = And what did you see: do eggs run?
ask-about-spawned = And what did you see: are there eggs?
ask-about-count = How many good ones, of how many?
ask-about-egg-count = How many eggs are in one gram?
ask-about-why = Ask "why?" after a figure.
ask-about-which-bell = { $why ->
    [no-bell] What is done? Say it in a word: injected, milt in, rinsed, fed.
   *[other] Which bell is that?
}
ask-about-not-understood = I did not understand. Weights, a time, a count, or "help"?
ask-about-injected-time = When was it injected{ $who }?
ask-about-sex = Female or male{ $who }?
ask-about-grams = How many grams{ $who }?
ask-about-grams-dry = { $number } g{ $who }: dry eggs, before any water?
ask-about-member = Does { $words } belong to this farm?
ask-about-duty = Who has the night?
ask-about-remove = Who is to leave the farm?
ask-about-hand-over = Who is to own the farm?
ask-about-take-farm = { $words } wants you to own the farm. Will you?
ask-about-delete-farm = Delete the whole farm, with all runs, fish and figures? Better "export" first. You can undo it until { $at }, then it is gone.
ask-about-farm = Which farm is this for?
ask-about-strip-hour = When do you want to strip?
ask-about-brood-numbers = How many females, and how many males?
ask-about-generations = How many generations?
ask-about-which-fish = Which fish?
ask-about-parents = Mother or father?
ask-about-implausible = What did you mean?
ask-about-new-run = Part of the run that is injected, or a new run?
ask-about-cancel-sure = Cancel the run? Its bells stop; the record stays.
ask-about-bottle = { $why ->
    [which-drawn] Which bottle was it drawn from?
    [several] Which bottle?
    [unknown-lot] Which bottle is it?
    [same-lot] Is it one more?
    [how-much] How many mL?
    [days-asked] How many days does its label give once opened?
    [not-a-day] What is the expiry on its label, month and year?
   *[other] Type: bottle, its mL, lot and its code, exp and its month.
}
ask-why-which-drawn = {""}
ask-why-several = {""}
ask-why-unknown-lot = I know no bottle { $words }.
ask-why-same-lot = There is a bottle { $words } already.
ask-why-how-much = Bottle { $words }.
ask-why-days-asked = {""}
ask-why-not-a-day = I cannot read { $words } as a day.
ask-why-none-told = No bottle is told.
ask-why-other-unit = Bottle { $words } is not counted in mL.
ask-about-label = What does the bottle's label say per mL?
ask-about-species = Which species?
ask-about-way = Will you strip them, or let them spawn?
ask-about-water = { $why ->
    [implausible] Is the water { $number } C, or did a point get lost?
   *[other] How warm is the water?
}
ask-about-zone = What time is it where you are?
ask-about-time = At what time was it{ $who }?
ask-why-not-weighed = Spoons and drops differ: I do not guess.
ask-about-scoop = { $words ->
    [cup] How many grams does one level cup of it weigh?
    [cap] How many millilitres does one cap hold?
   *[spoon] Weigh ten level spoons of it: how many grams is one?
}
ask-about-drops = Count the drops in one millilitre of it: how many?
ask-about-litres = How many litres is the bath?
ask-about-ppm = How many mg/L?
ask-about-iodine-basis = What does your ppm count: available iodine, the substance, or the liquid?
ask-about-bath-for = For eggs, or for tools and nets?
ask-about-bath-habit = An egg bath: when do you do it?
ask-about-fertilised = How many good ones, of how many?
ask-about-hatched = How many hatched, of how many?
ask-about-count-of = Of all eggs, or of the good ones?
ask-about-stripped-after-all = Stripped by hand after all?
ask-about-litres-so-many = Is it so?
ask-about-collected = How many litres of eggs?
ask-about-whose-eggs = Whose eggs were they?
ask-about-died = Which fish died?
ask-about-prepared = What was injected?
ask-about-dose = How much went in{ $who }?
ask-about-larvae = How many larvae?

## Refused

refused-not-member = You do not belong to this farm. Its owner can send you a link.
refused-link-unknown = I do not know this link. Ask for a new one.
refused-owner-alone = Only { $words } can do that on this farm.
refused-reader = You read along here: telling is for the hands. Ask { $words } to make you one.
refused-reader-no-night = { $words } only reads along, and is not rung. "crew" has a button to make a hand of { $words }.
refused-owner-stays = The farm is yours: hand it over first, or delete it.
refused-not-waiting = { $words } waits for no answer any more.
refused-no-member = That one does not belong to the farm any more.
refused-no-hand = That one is no hand of the farm any more.
refused-not-yours = That question is for { $words }.
refused-not-offered = That offer does not stand any more.
refused-alone = You are alone on this farm. "invite" makes a link for somebody.
refused-no-private-chat = Write to me in a chat of our own first, then say it again.
refused-rings-nowhere = Then nobody would hear the bells. They stay on here.
refused-one-farm = You have one farm here: { $words }.
refused-no-run = No run is open.
refused-clears-no-fish = { $timed ->
    [yes] { $words } got hormone{ $when }. Nothing here clears a treated fish for eating or sale. Only the label, the law and a veterinarian can.
   *[no] Nothing here clears a treated fish for eating or sale. Only the label, the law and a veterinarian can.
}
refused-name-of-a-run = { $words } is only a name within one run. Give the fish a tag of its own and tell me which, then tell it of that tag.
refused-sex-told-otherwise = { $words } was told of the other sex. Undo that first, or take another tag.
refused-tag-taken = Another fish of that run is called { $words }.
refused-own-parent = { $words } cannot come of itself.
refused-lost-already = { $words } is noted as gone{ $when }.
refused-unknown-fish = I know of no fish { $words }.
refused-is-a-male = { $words } is a male: name a female.
refused-no-males-told = I know of no male yet. Weigh one by his tag.
refused-no-offspring-told = No run with larvae or a hatch figure in this half year.
refused-no-hatch-hours = { $number } C: nobody reported hours to hatching there. I look for larvae with you; keep the water right.
refused-not-injected = Nothing is injected yet.
refused-no-doubling = No: more of it does not make an old or weak bottle good. Take a fresh one, or ask a fish vet.
refused-no-second-dose = No second dose tonight: injected{ $when } already. Give her time and keep looking.
refused-edit-after-injection = They are injected already{ $when }: I left the weights as they were. To mend one, write its name and the kilos.
refused-already-injected = Injected already{ $when }. No second dose.
refused-could-not-read = I could not read this. Please say it another way.
refused-unknown-species = I have no card for "{ $words }": no dose from me. I know: { $known }.
refused-too-long = That message is too long. Send it in parts.
refused-run-closed = That run is closed.
refused-run-cancelled = That run was cancelled.
refused-nothing-to-undo = There is nothing to take back.
refused-no-figure = Nobody published that figure; I do not guess.
refused-outside-source = Nobody reported figures for such water; I do not guess.
refused-future-time = That time is still to come. Tell me when it is done.
refused-too-old = That is too long ago for this run.
refused-malachite-green = No malachite green: it stays in the fish, harms who eats it, and is banned for food fish. Against fungus: take white eggs out, clean flowing water.
refused-too-many-fish = Too many fish in one message. Send them in parts.
refused-no-season = No run is kept yet, so there is no table.
refused-button-spent = That button is answered already.
refused-step-unknown = That step is not part of this run.
refused-no-strength = First the bottle's strength: without it there are no millilitres.
refused-after-eggs = Eggs came already; that cannot be changed now.
refused-too-fast = Too many messages at once. Wait a minute, then go on; all you sent is kept.
refused-too-many-today = That is more than I can answer today. Begin a run, or come back tomorrow.
refused-too-many-farms = You founded as many farms as one person may.
refused-too-many-runs = As many runs are open as one may have. Close or cancel one first.
refused-private = This bot is private.
refused-clock = My own clock is wrong; I ring nothing until it is set.
refused-photo = I could not keep that photo.
refused-paper = I could not read that file. It may hold one megabyte at most.
refused-no-paper = That file is not here any more. Send it again.
refused-document = I could not send that file here. Ask for it once more; if it fails again, whoever runs this bot can help.
refused-no-such-fish = I know no fish "{ $words }" in this run.
refused-too-late-for-hour = Too late for that hour. If you inject now, most give{ $when } or so. Name another hour, or say "injected" when it is done.
refused-bad-percent = That percentage cannot be.
refused-bad-strength = That is no strength.
refused-bad-quantity = I cannot read that amount.
refused-wrong-dimension = That unit does not fit here.
refused-mixed-units = Different substances are not added up.
refused-not-positive = It must be more than zero.
refused-bad-count = The count does not add up.
refused-zone-unknown = I know no such place. Tell me what time it is with you.
refused-not-here = Not in this chat.

## Trouble, three lines each

trouble-power =
    Air first: battery or hand pump, or scoop water up and pour it back, at every tank with fish, eggs or larvae.
    Stop feeding. Thin out crowded tanks. { $stage ->
        [eggs] Keep eggs moving in water softly by hand, covered against cold.
        [larvae] Spread larvae over wide shallow basins.
       *[other] Leave quiet fish in peace, cover tanks against cold.
    }
    Change part of the water by hand, same warmth, until power is back; then look at the filter before you trust it.
trouble-aerator =
    Stir air in by hand now: scoop water up and pour it back; run fresh water in if you have it.
    Stop feeding, thin out crowded tanks. Fish gasping at the top go first.
    Then look: plug, hose, stone, belt; clear a blocked stone, borrow a pump from a tank that can spare it.
trouble-water-off =
    Air on full; stop feeding; nobody touches the fish more than needed.
    Close outlets so that no tank runs dry. { $stage ->
        [eggs] Eggs must stay under water and moving: pour clean stored water through by hand.
        [larvae] Larvae: take dirt off the bottom, add stored water softly.
       *[other] Keep what water you have for eggs and larvae first.
    }
    Use stored or well water of the same warmth, a little at a time; tap water only after it stood or was aired, for its chlorine.
trouble-cold =
    Cover tanks, shut draughts, less inflow; warm up slowly, never with hot water poured on fish.
    { $stage ->
        [eggs] Never chill catfish eggs: eggs and larvae go to the warmest room.
        [larvae] Larvae go to the warmest room; feed little while it is cold.
        [brood] Injected females: eggs later or not at all. Keep looking, no second dose.
       *[other] Brood fish: no handling and no feed while it is cold.
    }
    Tell me the water when you have read it; all hours are reckoned again.
trouble-smell =
    Bad smell means rot: take out dead eggs, dead fish and old feed now, softly.
    Change part of the water with clean water of the same warmth; more flow, more air, no feed.
    Fish gasping or many dying: move the healthy ones to clean water, and ask a fish vet.
trouble-fungus =
    White and woolly is fungus on dead eggs: more flow, keep eggs in one layer, take the worst clumps out after the count.
    { $stage ->
        [larvae] Larvae hatched: lift them off the egg rests into clean water.
        [brood] On brood fish: clean water, less handling; a salt bath only as its label or your vet says.
       *[other] No chemical on eggs about to hatch or on larvae. Malachite green is banned: never.
    }
    Next time: no dead eggs left after the count, clean trays, gentle stripping.

## Buttons

# What may be typed in the place of a button, beside its own label.
typed-answer-dry = they were dry,dry eggs,before water,dry grams
typed-answer-wet = wet,they were wet,with water,swollen,after the water
typed-change-no-male-dose = no dose for the male, no dose for him, no male dose, no dose male, male no dose, male gets nothing, male gets none, the male gets nothing, skip the male dose, cancel the male dose, skip the male, the male needs no dose, not the male, without male dose
typed-answer-all = of all, all, all eggs, of all the eggs
typed-answer-fertilised = good ones, the good ones, of good ones, of the good, good eggs, of the good eggs
typed-answer-injected = yes, yes it is, yes injected, yes they are, yep
typed-yes = yes, ok, 👍, 👌, okay, yes please, yep, sure, right, fine, agreed
typed-no = leave it, no leave it, dont, no, nope, no thanks
typed-start = start, go, begin
typed-earlier = earlier, sooner
typed-later = later
typed-later-30 = later, in a while, remind me later
typed-skip = skip, leave it, not this time
typed-stop-looking = stop, stop looking, no more looks


button-start = Start: { $species }, bottle { $strength }
button-start-with = Start: { $species }, { $preparation }
button-with = With { $preparation }
button-final-shot = The final one
button-priming-shot = Priming again
button-change = Change
button-other-bottle = Other bottle
button-bottle = Bottle { $strength }
button-other-species = { $species }
button-species = { $species }
button-group = { $called }
button-batch = { $called }
button-all-places = In all of them
button-place = { $called }
button-step = { $step }
button-step-of = { $step }: { $called }
button-plan-yes = OK
button-run-sheet = Page for the wall
button-season-table = As a table
button-season-csv = As CSV
button-none-of-them = None of them
button-day-first = Day, month
button-month-first = Month, day
button-sex-f = { $tag } is female
button-sex-m = { $tag } is male
button-eggs-dry = Dry
button-eggs-wet = After water
button-on-eggs = For eggs
button-on-tools = For tools and nets
button-spawned-yes = Eggs there
button-only-fish = Only { $tag }
button-all-fish = All of them
button-label-yes = Yes, so it says
button-member-yes = Yes
button-member-no = No
button-revoke-links = Revoke
button-take-farm-yes = Yes, I take it
button-take-farm-no = No
button-delete-yes = Yes, delete all
button-delete-no = No, keep it
button-restore-farm = Undo
button-make-hand = { $name }: make a hand
button-person = { $name }
button-nobody = Nobody
button-farm = { $name }
button-injected-at = Injected { $at }
button-change-sheet = Yes, { $species }
button-counted-yes = Yes, so it is
button-undo-change = Only the change
button-undo-whole = All of it
button-no-change = Leave it
button-more-fish = More fish
button-instead = Instead of them
button-same-fish = The same ones
button-mend-weight = Correct the weight
button-none-yes = None at all
button-spent-farm = For the farm, not this run
button-spent-run = For { $called }
button-sold-yes = Yes, sold
button-eggs-yes = Yes, stripped
button-undo-yes = Take it back
button-more-eggs = More eggs
button-same-eggs = Of those
button-hatched-yes = Yes, they hatched
button-undo-eggs = She gave none: take the eggs back
button-same-injection = The same, but at { $at }
button-way-stripped = Strip by hand
button-way-nest = Nest in the tank
button-way-hapa = Hapa
button-male-dose = Dose him too
button-usual-dose = The usual dose
button-no-male-dose = No dose for him
button-cancel = Cancel
button-cancel-sure = Yes, cancel
button-keep = Keep it
button-undo = Undo
button-inject-now = I inject now
button-earlier = Earlier
button-later = Later
button-done = Done
button-of-bottle = Bottle { $called }
button-no-bottle = None of these
button-another-bottle = One more bottle
button-bottle-mended = That one, told anew
button-same-bottle = The same one
button-thrown-away = Thrown away
button-tomorrow-morning = Tomorrow morning
button-injected = Injected
button-not-yet = Not yet
button-eggs-run = Eggs run
button-eggs-run-of = { $tag }: eggs run
button-none = Gave none
button-none-of = { $tag } gave none
button-died = Died
button-died-of = { $tag } died
button-stop-looking = Stop looking
button-stripping-now = Stripping now
button-later-30 = In { $minutes } min
button-skip = Skip
button-yes = Yes
button-no = No
button-right = Right
button-minutes-earlier = { $minutes } min earlier
button-other-time = Other time
button-at = { $at }
button-number = { $number }
button-kg = { $number } kg
button-grams = { $number } g
button-celsius = { $number } C
button-percent = { $number } %
button-text = { $text }
button-fish = { $tag }
button-parents = Mother { $mother }, father { $father }
button-mother = Mother
button-father = Father
button-water-same = Still { $number } C
button-water-tell = Tell the water
button-no-thermometer = No thermometer
button-bath-in = Eggs are in
button-bath-after-swelling = After swelling
button-bath-before-water = Before the water
button-bath-own-order = My own order
button-bath-never = Never
button-liquid-clove-oil = Clove OIL
button-liquid-clove-extract = Seed extract
button-liquid-tricaine = Tricaine
button-liquid-carp-fertilising = FERTILISING liquid
button-liquid-carp-de-sticking = DE-STICKING liquid
button-liquid-carp-tannin = Common carp
button-liquid-striped-catfish-tannin = Striped catfish
button-liquid-peroxide-eggs = African catfish eggs
button-liquid-peroxide-eggs-label = Other eggs
button-liquid-formalin-eggs = Eggs
button-liquid-formalin-fish = Fish
button-liquid-salt-larvae = Larvae
button-liquid-saline-glands = For glands
button-liquid-saline-milt = For milt
button-basis-available = Available iodine
button-basis-substance = The substance
button-basis-liquid = The liquid
button-hatched = At hatch
button-swim-up = At swim-up
button-of-all = Of all eggs
button-of-fertilised = Of the good ones
button-of-unknown = Not known
button-fed = Fed
button-all-well = All well
button-run = { $called }
button-same-run = Same run
button-new-run = New run
button-why = Why?
button-plan = Show the plan
button-status = How it stands
button-what-next = What next?
button-help = Help
button-trial = Ring me once
button-swim-free = They swim free
button-milt-on = Milt is on
button-spread = Spread
button-rinsed = Rinsed
button-litres = Yes, { $number } L
button-tell-litres = Litres, I tell them
button-collected = Collected
button-removed = Out
button-none-of-these = None of these

## A reading in a few words, to be tapped

describe-kg = { $kg } kg
describe-sex = { $sex ->
    [f] female
   *[m] male
}
describe-tag = { $tag }
describe-sex-kg = { $sex ->
    [f] female { $kg } kg
   *[m] male { $kg } kg
}
describe-tag-kg = tag { $tag }, { $kg } kg
describe-tag-sex = { $sex ->
    [f] { $tag } female
   *[m] { $tag } male
}
describe-fish = a fish
describe-water = water { $celsius } C
describe-injected-per-kg = injected, { $dose } per kg{ $who }
describe-injected-at = injected { $at }{ $who }
describe-injected-ago = injected { $minutes } min ago{ $who }
describe-injected = injected{ $who }
describe-eggs = { $tag }eggs
describe-eggs-grams = { $tag }{ $grams } g eggs
describe-not-ready = { $tag } not yet
describe-none = { $tag } gave none
describe-egg-count = { $number } eggs per gram
describe-what-fertilised = fertilised
describe-what-hatched = hatched
describe-count = { $good } of { $total } { $what }
describe-percent = { $percent } % { $what }
describe-larvae = { $larvae } larvae
describe-left-out = leave out { $tags }
describe-collected = { $litres } L of eggs collected
describe-eggs-run = { $tags }: eggs run
describe-snooze = again in { $minutes } min
describe-clock = { $clock }
describe-label = bottle { $strength }
describe-died = { $tags } died
describe-ppm = { $ppm } mg/L
describe-litres = { $litres } L
describe-correction = correct: { $what }
describe-act-syringes = your syringes
describe-act-gland-weight = the weight of a gland
describe-act-units = your units
describe-act-vial-dissolved = a vial dissolved
describe-act-own-dose = set your own dose
describe-act-dose-reason = a reason
describe-act-weigh = a weighing
describe-act-preparation = what is injected
describe-act-temperature = no thermometer
describe-act-stripped = eggs
describe-act-fertilised = fertilised eggs
describe-act-hatched = hatched
describe-act-larvae-count = larvae counted
describe-act-measure = your own measure
describe-by-ml = { $amount } mL of spawn{ $each }
describe-by-cup = { $amount } cups of larvae{ $each }
describe-each = with { $each } in each
describe-act-stocking = how densely to stock
describe-act-sample-size = how many to count
describe-cups = { $counts } in cups
describe-act-bath = bath
describe-act-scoop = what your spoon holds
describe-act-bath-bottle = the per cent on your bottle
describe-act-question = a question
describe-act-done = done
describe-act-not-yet = not yet
describe-act-cancel = cancel
describe-act-help = help
describe-act-greeting = a greeting
describe-act-snooze = later
describe-act-plan = plan an hour
describe-act-left-out = leave a fish out
describe-act-died = a fish died
describe-act-spawned = eggs seen or not
describe-act-collected = eggs collected
describe-act-vessels = a question about jars
describe-act-milt-asked = a question about milt
describe-act-brood = a question about brood fish
describe-act-fish-told = something of a brood fish
describe-act-tag-given = a tag for a fish
describe-act-fish-lost = a brood fish gone
describe-act-male-cut = a male cut
describe-act-label = the bottle's label
describe-act-zone = your clock
describe-act-order = an order
describe-act-trouble = trouble
describe-act-sold = larvae sold
describe-act-expense = a cost
describe-act-bottle = a bottle
describe-act-bottle-gone = a bottle gone, or some of it
describe-act-bottle-left = what is left in a bottle
describe-act-bottle-days = how long an opened bottle is good
describe-act-from-bottle = which bottle it was
describe-act-undo = undo
describe-act-start = start
describe-act-why = why?
describe-act-eggs-run = eggs run
describe-act-step-said = a step done
describe-step-said = done: { $step }
describe-act-invite = invite somebody
describe-act-revoke-links = no link opens any more
describe-act-leave = leave the farm
describe-act-remove = remove somebody
describe-remove = remove { $name }
describe-act-hand-over = hand the farm over
describe-hand-over = hand the farm to { $name }
describe-act-on-duty = who has the night
describe-on-duty = the night: { $names }
describe-me = me
describe-on-duty-me = I have the night
describe-on-duty-everybody = everybody has the night
describe-act-ask-crew = who is on the farm
describe-act-private-bells = bells in your own chat
describe-private-bells-off = no bells in your own chat
describe-act-export = all your data
describe-act-delete-farm = delete the farm
describe-act-switch-farm = another farm
describe-switch-farm = farm { $name }
describe-act-unclear = something else

## The command line: a forecast in two lines

forecast-strip = { $species }, running eggs: most about { $likely } h after the final injection, from { $earliest } to { $latest } h, at { $celsius } C.
forecast-hatch = { $species }, larvae: most about { $likely } h after fertilising, from { $earliest } to { $latest } h, at { $celsius } C.
forecast-first-feed = { $species }, first feed: about { $likely } h after hatching, from { $earliest } to { $latest } h, at { $celsius } C.
forecast-times = About { $likely }, from { $earliest } to { $latest }.
forecast-source = Source: { $basis } ({ $mark }).
forecast-note = Note: { $note }.
note-borrowed-curve = no curve of its own for this preparation: the nearest one, widened
note-widened = outside the water of the source: widened
note-flat = the same hours all over that water, as reported
note-water-untold = the source does not tell its water
note-slope-borrowed = the slope is that of the nearest relative
note-tannin = after tannin; untreated eggs hatched far worse
note-urea-and-salt = hatched in still water after urea and salt; others differ

## The command line: backup, restore and check, a line each

operating-kept = { $path }: { $size } MB, runs: { $runs }, newest message { $newest }
operating-kept-empty = { $path }: { $size } MB, nobody has written yet
operating-restored = { $path } is back as it was at { $known_to } ({ $age } ago); runs: { $runs }
operating-restored-empty = { $path } is back; nobody had written yet
operating-restored-lost = Not in it: { $lost } messages that came in after that. They are in the old file
operating-restored-lost-unknown = Not in it: whatever came in after that. The old file cannot be read, so nobody knows how much
operating-restored-told = At the next start each farm is told from when on it must tell everything again
operating-restored-gone = The messenger keeps what is sent meanwhile for one day only; what is older never comes
operating-restored-overdue = Bells overdue: { $overdue }. They ring at the next start, and say how late they are
operating-restored-unsent = Messages that waited then: { $unsent }. They go out at the next start, some for the second time
operating-restored-undone = Undone with it: people removed, links closed and farms deleted since then. Do that again
operating-restored-brought-up = The copy was of an older version and was brought up to this one
operating-restored-aside = The old file is { $path }. Delete it once nobody needs it
operating-restored-start = Now start hatchbell, then: hatchbell check

operating-well = All is well. Newest backup { $age } ago
operating-missing = { $path } is not there. Name the file with --db or HATCHBELL_DB, or bring it back: hatchbell restore COPY --db { $path }
operating-torn = { $path } is damaged, or no file of ours ({ $detail }). Stop hatchbell, then: hatchbell restore COPY --db { $path }
operating-newer-schema = { $path } was written by a newer version (form { $found }, this one knows { $known }). Update the program
operating-locked = { $path } is held by another program ({ $detail }). End that program
operating-full = The disk is full: { $path } cannot be read ({ $detail }). Make room
operating-unreadable = { $path } cannot be opened ({ $detail }). Look who owns it and its folder; run this as the user that serves
operating-older-schema = { $path } is of an older version. Make a backup; the next start of hatchbell brings it up
operating-not-served = Nobody serves { $path }: no bell rings. Start hatchbell, and read its last lines of log
operating-never-polled = The messenger has never answered. Look at the network and at the token
operating-silent = The messenger has not answered for { $age }. Look at the network; if the log says InvalidToken, at the token; if Conflict, stop the second bot; if clock, set the clock
operating-bell-overdue = Bells overdue: { $bells }, the oldest by { $age }. Call the farms if you can; restart hatchbell
operating-unsent = Messages not sent: { $rows }, the oldest for { $age }. Look at the network and at the log
operating-unanswered = Messages not answered: { $rows }, the oldest for { $age }. Restart hatchbell, and read its log
operating-set-aside = Messages set aside after three tries: { $rows }. Their senders were told; the log says why. Report it
operating-farm-still-there = Farms deleted whose days are over, still in the file: { $farms }. Restart hatchbell
operating-clock-behind = The clock is wrong: it says { $now }, { $by } before the newest message ({ $newest }). Set it, and turn time synchronisation on
operating-disk-low = { $free } MB are free in { $folder }: too little for a copy of the file. Make room
operating-log-large = The write-ahead log has grown to { $size } MB. End what reads the file for hours, then restart hatchbell
operating-open-to-others = { $path } can be read by others. Allow its owner only: chmod go= { $path }
operating-no-backup = No backup was ever made of { $path }. Do it now: hatchbell backup --db { $path }
operating-backup-gone = The newest backup is not where it was: { $path }. Make another one
operating-backup-old = The newest backup is { $age } old: { $path }. Look why the timer does not run, and make another one
operating-token-open = { $path } holds the token and can be read by others. Allow its owner only, and change the token at the bot maker
operating-token-unreadable = { $path } should hold the token and cannot be read. Correct HATCHBELL_TOKEN_FILE or its owner

## Faults of the command line, one line each

fault = Something is wrong: { $error }.
fault-bad-line = line { $line }: { $fault }
line-unreadable = the script cannot be read: { $detail }
line-before-the-store = its time { $at } lies before the last one in the database
line-not-json = not JSON: { $detail }
line-not-an-object = not a JSON object
line-unknown-key = no such key: { $key }
line-one-act-wanted = one act is wanted in a line, not: { $found }
line-missing-key = this key is missing: { $key }
line-text-wanted = a text is wanted
line-bad-time = { $key } is no ISO time
line-no-offset = { $key } is a time without an offset
line-time-going-back = time goes back: { $at }
line-bad-restart = restart is true or a number of minutes
line-no-such-photo = no such picture: { $name }
line-no-such-link = no link to join by was shown in the chat { $name }
line-no-such-button = no such button in that chat: { $action }
line-no-such-message = no such message to change

fault-not-written = { $path } cannot be written: { $detail }
fault-bad-card = species card { $species }: { $faults }
fault-bad-cards = species cards: { $faults }
fault-bad-shelf = liquids for baths: { $faults }
fault-bad-sources = sources of the cards: { $faults }
fault-bad-word-file = word file { $language }: { $fault }
fault-not-plain = this cannot be written down as data: { $type }
fault-wrong-shape = { $value } does not fit { $expected }
fault-missing-key = a record of { $record } is incomplete: { $detail }
fault-not-one-run = events of several runs: { $runs }
fault-no-run = there is no run { $number }
fault-no-words = no words for "{ $id }" in { $lang }

fault-not-read = { $path } cannot be read: { $detail }
fault-too-large = { $path } is larger than one megabyte
fault-no-such-farm = no farm is called "{ $name }"
fault-several-farms = several farms are called "{ $name }"
fault-which-species = "{ $word }": several species are called so, so nothing was taken: say --species "{ $word }=SPECIES", one of { $known }
fault-which-is-the-month = "{ $day }": day or month first? No day of the file shows it, so nothing was taken: say --days day-first or --days month-first
fault-unknown-species = no card for "{ $species }"; known are: { $known }
fault-unknown-preparation = no such preparation: { $preparation }
fault-celsius-or-temps = name the water: --celsius, or --temps with --from
fault-from-wanted = --temps needs --from, a time with its offset
fault-bad-from = --from is no time with an offset: { $detail }
fault-bad-log = temperatures, line { $line }: { $detail }
fault-bad-temperature = { $celsius } is no water temperature in C
fault-no-dose-figure = no dose known: { $species }, { $preparation }
fault-no-strip-figure = no hours to stripping known: { $species }
fault-eggs-not-told = no hour of eggs told yet: { $batch }
fault-no-hatch-figure = no hours to hatching known: { $species }
fault-no-first-feed-figure = no hours to first feed known: { $species }
fault-outside-source = { $celsius } C lies outside what was reported for { $species } ({ $source_celsius } C)
fault-not-reached = the hour is not reached within the readings given
fault-no-start = no injection hour gives eggs at { $likely_at }
fault-no-final-injection = the final injection of this group is not told
fault-unknown-syringe = no syringe of { $ml } mL is known with such marks; known are: { $known }
fault-wrong-dose-unit = { $preparation } is not dosed in { $unit }
fault-mixed-units = different substances are not added up: { $units }
fault-not-positive = { $value } { $unit } is not above zero
fault-no-cups = no cups were counted
fault-cups-over-water = { $dipped } L in cups, out of { $litres } L
fault-bad-count = { $good } of { $total } cannot be
fault-bad-percent = { $percent } % cannot be
fault-bad-strength = { $percent } % is no strength
fault-bad-quantity = not a quantity: { $text }
fault-wrong-dimension = { $text } is not in { $expected }

fault-newer-schema = { $path } was written by a newer version (form { $found }, this one knows { $known }): update the program
fault-locked = { $path } is in use by another program ({ $detail })
fault-torn = { $path } is damaged, or no file of ours ({ $detail })
fault-full = the disk is full; nothing was written to { $path } ({ $detail })
fault-unreadable = { $path } cannot be opened ({ $detail })
fault-copy-torn = the copy of { $path } is damaged and was not kept ({ $detail }): run hatchbell check
fault-same-file = { $path } cannot be restored from itself
fault-token-missing = no bot token: set HATCHBELL_TOKEN or HATCHBELL_TOKEN_FILE
fault-token-twice = set HATCHBELL_TOKEN or HATCHBELL_TOKEN_FILE, not both
fault-token-malformed = the bot token does not have the shape of one
fault-token-refused = the network refused the bot token
fault-token-file-unreadable = { $path } cannot be read: { $detail }
fault-token-file-open-to-all = { $path } can be read by others: allow its owner only
fault-operator-malformed = HATCHBELL_OPERATOR is no chat id: { $value }
fault-allow-malformed = HATCHBELL_ALLOW has something that is no id: { $value }
fault-api-url-malformed = HATCHBELL_API_URL is no address: { $value }
fault-api-url-plain = HATCHBELL_API_URL without TLS is for this computer only: { $value }

## What the service manager is told, one line each: $minutes is how long it has been so

vital-waits = The messenger has not answered yet: is the network there? I go on asking.
vital-up = Up.
vital-well = Well.
vital-away = No messages could be fetched for { $minutes } min: network, token or a second bot; the log says which. Bells are kept and go out later.
vital-full = The disk is full. I wait until there is room; nothing is lost, bells come late.
vital-locked = Another program holds the database. I wait; nothing is lost, bells come late.
vital-clock = The clock of this computer is wrong. Nothing rings until it is right.
vital-question = Stuck: the question for new messages has not come back for { $minutes } min.
vital-bell = Stuck: the oldest bell has been due for { $minutes } min and does not ring.
vital-write = The database has taken nothing for { $minutes } min: look at the disk.
