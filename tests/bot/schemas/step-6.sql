BEGIN TRANSACTION;
CREATE TABLE "_sqlite_migrations" (
   "id" INTEGER PRIMARY KEY,
   "migration_set" TEXT,
   "name" TEXT,
   "applied_at" TEXT
) STRICT;
INSERT INTO "_sqlite_migrations" VALUES(1,'hatchbell','first_tables','2026-11-30 06:51:32.066145+00:00');
INSERT INTO "_sqlite_migrations" VALUES(2,'hatchbell','photos','2026-11-30 06:51:32.066383+00:00');
INSERT INTO "_sqlite_migrations" VALUES(3,'hatchbell','wire','2026-11-30 06:51:32.068521+00:00');
INSERT INTO "_sqlite_migrations" VALUES(4,'hatchbell','crew','2026-11-30 06:51:32.069593+00:00');
INSERT INTO "_sqlite_migrations" VALUES(5,'hatchbell','begun','2026-11-30 06:51:32.069715+00:00');
INSERT INTO "_sqlite_migrations" VALUES(6,'hatchbell','row_versions','2026-11-30 06:51:32.070260+00:00');
CREATE TABLE advice (
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        run INTEGER NOT NULL CHECK (run >= 0),
        code TEXT NOT NULL CHECK (code <> ''),
        PRIMARY KEY (farm, run, code)
    ) STRICT
    ;
INSERT INTO "advice" VALUES(1,0,'gloves');
INSERT INTO "advice" VALUES(1,1,'one-male');
INSERT INTO "advice" VALUES(1,1,'cut-after-eggs');
INSERT INTO "advice" VALUES(1,0,'phone-alarm');
INSERT INTO "advice" VALUES(1,1,'they-jump');
INSERT INTO "advice" VALUES(1,1,'no-second-dose');
INSERT INTO "advice" VALUES(1,1,'treated-fish');
CREATE TABLE chats (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        key TEXT NOT NULL UNIQUE CHECK (key <> ''),
        private INTEGER NOT NULL CHECK (private IN (0, 1)),
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        awaiting TEXT,
        offset_minutes INTEGER NOT NULL CHECK (offset_minutes BETWEEN -1440 AND 1440)
    , unreachable_at INTEGER, settled_at INTEGER) STRICT
    ;
INSERT INTO "chats" VALUES(1,'ada',1,1,NULL,360,NULL,1780318800000000);
CREATE TABLE events (
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        id INTEGER NOT NULL CHECK (id > 0),
        run INTEGER NOT NULL CHECK (run >= 0),
        said_at INTEGER NOT NULL,
        at INTEGER NOT NULL,
        by INTEGER REFERENCES people (id),
        source TEXT,
        kind TEXT NOT NULL,
        body TEXT NOT NULL,
        PRIMARY KEY (farm, id)
    ) STRICT
    ;
INSERT INTO "events" VALUES(1,1,1,1780318800000000,1780318800000000,1,'play-1','opened','{"kind":"opened","species":"african-catfish","way":"stripped","preparation":"premix","strength":{"ug_per_ml":20.0,"mg_per_ml":10.0,"iu_per_vial":null,"diluent_ml":null},"strength_assumed":true}');
INSERT INTO "events" VALUES(1,2,1,1780318800000000,1780318800000000,1,'play-1','weighed','{"kind":"weighed","fish":[{"tag":"F1","sex":"f","kg":2.4},{"tag":"F2","sex":"f","kg":3.1},{"tag":"M1","sex":"m","kg":1.9}],"place":null}');
INSERT INTO "events" VALUES(1,3,1,1780318860000000,1780318860000000,1,'play-2','set-up','{"kind":"set-up","species":null,"way":null,"strength":{"ug_per_ml":20.0,"mg_per_ml":10.0,"iu_per_vial":null,"diluent_ml":null},"male_dose":null,"preparation":null,"strength_assumed":false,"dose":null}');
INSERT INTO "events" VALUES(1,4,1,1780318860000000,1780318860000000,1,'play-2','planned','{"kind":"planned","final_at":"2026-06-01T14:30:00+00:00","agreed":false,"strip_at":null}');
INSERT INTO "events" VALUES(1,5,1,1780318920000000,1780318920000000,1,'play-3','planned','{"kind":"planned","final_at":"2026-06-01T14:30:00+00:00","agreed":true,"strip_at":null}');
INSERT INTO "events" VALUES(1,6,1,1780324380000000,1780324200000000,1,'play-4','injected','{"kind":"injected","group":"1","tags":["F1","F2","M1"],"which":"only","place":null,"ml":null,"drawn":[{"tag":"F1","ml":1.2,"amount":24.0,"unit":"ug"},{"tag":"F2","ml":1.6,"amount":31.0,"unit":"ug"},{"tag":"M1","ml":0.48,"amount":9.5,"unit":"ug"}],"per_kg":null,"unit":null}');
INSERT INTO "events" VALUES(1,7,1,1780324500000000,1780324500000000,1,'play-5','water','{"kind":"water","celsius":27.0,"source":"measured","place":null}');
INSERT INTO "events" VALUES(1,8,1,1780353180000000,1780353180000000,1,'play-6','not-yet','{"kind":"not-yet","group":"1","tags":[]}');
CREATE TABLE farms (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL,
        settings TEXT NOT NULL
    , goes_at INTEGER) STRICT
    ;
INSERT INTO "farms" VALUES(1,'ada','{"zone":null,"offset_minutes":360,"strength":null,"bath_habit":"unknown","iodine_basis":null,"unit_system":"metric","gallon":null,"clock_told":true,"syringes":[],"gland_mg":null,"spawn_per_ml":null,"larvae_per_cup":null,"doses":[],"vial_dissolved_at":null,"counts":[],"scoops":[],"bottles":[],"duty":null,"goes_at":null}',NULL);
CREATE TABLE inbox (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        key TEXT NOT NULL UNIQUE CHECK (key <> ''),
        chat TEXT NOT NULL,
        received_at INTEGER NOT NULL,
        body TEXT NOT NULL,
        state TEXT NOT NULL DEFAULT 'waiting' CHECK (state IN ('waiting', 'done', 'aside')),
        tries INTEGER NOT NULL DEFAULT 0 CHECK (tries >= 0)
    , user TEXT NOT NULL DEFAULT '') STRICT
    ;
INSERT INTO "inbox" VALUES(1,'play-1','ada',1780318800000000,'{"kind":"incoming","key":"play-1","chat":"ada","private":true,"user":"ada","lang":"en","what":"text","at":"2026-06-01T19:00:00+06:00","offset_minutes":360,"sent_at":null,"text":"catfish f 2.4 3.1 m 1.9","action":"","message":0,"edits":"","reply_to":0,"name":"ada","picture":"","button":-1,"replied":"","file_id":"","title":""}','done',0,'ada');
INSERT INTO "inbox" VALUES(2,'play-2','ada',1780318860000000,'{"kind":"incoming","key":"play-2","chat":"ada","private":true,"user":"ada","lang":"en","what":"tap","at":"2026-06-01T19:01:00+06:00","offset_minutes":360,"sent_at":null,"text":"","action":"start","message":1,"edits":"","reply_to":0,"name":"ada","picture":"","button":-1,"replied":"","file_id":"","title":""}','done',0,'ada');
INSERT INTO "inbox" VALUES(3,'play-3','ada',1780318920000000,'{"kind":"incoming","key":"play-3","chat":"ada","private":true,"user":"ada","lang":"en","what":"tap","at":"2026-06-01T19:02:00+06:00","offset_minutes":360,"sent_at":null,"text":"","action":"yes","message":2,"edits":"","reply_to":0,"name":"ada","picture":"","button":-1,"replied":"","file_id":"","title":""}','done',0,'ada');
INSERT INTO "inbox" VALUES(4,'play-4','ada',1780324380000000,'{"kind":"incoming","key":"play-4","chat":"ada","private":true,"user":"ada","lang":"en","what":"text","at":"2026-06-01T20:33:00+06:00","offset_minutes":360,"sent_at":null,"text":"injected 20.30","action":"","message":0,"edits":"","reply_to":0,"name":"ada","picture":"","button":-1,"replied":"","file_id":"","title":""}','done',0,'ada');
INSERT INTO "inbox" VALUES(5,'play-5','ada',1780324500000000,'{"kind":"incoming","key":"play-5","chat":"ada","private":true,"user":"ada","lang":"en","what":"text","at":"2026-06-01T20:35:00+06:00","offset_minutes":360,"sent_at":null,"text":"water 27","action":"","message":0,"edits":"","reply_to":0,"name":"ada","picture":"","button":-1,"replied":"","file_id":"","title":""}','done',0,'ada');
INSERT INTO "inbox" VALUES(6,'play-6','ada',1780353180000000,'{"kind":"incoming","key":"play-6","chat":"ada","private":true,"user":"ada","lang":"en","what":"tap","at":"2026-06-02T04:33:00+06:00","offset_minutes":360,"sent_at":null,"text":"","action":"not-yet","message":13,"edits":"","reply_to":0,"name":"ada","picture":"","button":-1,"replied":"","file_id":"","title":""}','done',0,'ada');
CREATE TABLE links (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        hash TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
        role TEXT NOT NULL CHECK (role IN ('hand', 'reader')),
        until INTEGER NOT NULL,
        state TEXT NOT NULL DEFAULT 'open' CHECK (state IN ('open', 'spent', 'revoked'))
    ) STRICT
    ;
CREATE TABLE members (
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        person INTEGER NOT NULL REFERENCES people (id),
        role TEXT NOT NULL CHECK (role IN ('owner', 'hand', 'reader', 'asked', 'refused')), private_bells INTEGER NOT NULL DEFAULT 0 CHECK (private_bells IN (0, 1)),
        PRIMARY KEY (farm, person)
    ) STRICT
    ;
INSERT INTO "members" VALUES(1,1,'owner',1);
CREATE TABLE outbox (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        farm INTEGER REFERENCES farms (id) ON DELETE CASCADE,
        chat TEXT NOT NULL CHECK (chat <> ''),
        addressee TEXT,
        at INTEGER NOT NULL,
        kind TEXT NOT NULL CHECK (kind <> ''),
        text TEXT NOT NULL,
        facts TEXT NOT NULL,
        buttons TEXT NOT NULL,
        reminder TEXT,
        reminder_id INTEGER,
        unique_key TEXT,
        alarm INTEGER NOT NULL CHECK (alarm IN (0, 1)),
        run INTEGER NOT NULL CHECK (run >= 0),
        picture TEXT,
        document TEXT,
        spent_at INTEGER,
        spent_by TEXT,
        sent_at INTEGER,
        message_id TEXT,
        state TEXT NOT NULL DEFAULT 'unsent' CHECK (state IN ('unsent', 'sent', 'dead')), tries INTEGER NOT NULL DEFAULT 0 CHECK (tries >= 0), not_before INTEGER NOT NULL DEFAULT 0, maybe_sent INTEGER NOT NULL DEFAULT 0 CHECK (maybe_sent IN (0, 1)), answers TEXT NOT NULL DEFAULT '', keyboard INTEGER NOT NULL DEFAULT 0 CHECK (keyboard IN (0, 1)),
        CHECK ((state = 'sent') = (sent_at IS NOT NULL)),
        UNIQUE (farm, unique_key),
        FOREIGN KEY (farm, reminder_id) REFERENCES reminders (farm, id)
    ) STRICT
    ;
INSERT INTO "outbox" VALUES(1,1,'ada',NULL,1780318800000000,'dose-sheet','African catfish, bottle 20 ug + 10 mg per mL (assumed: check the label): 0.5 mL per kg for females
F1 2.4 kg: 1.2 mL
F2 3.1 kg: 1.6 mL (worked out: 1.55)
M1 1.9 kg: 0.48 mL (optional: he will be cut)
3.28 mL in all; draw 3.8 mL, waste included
Wear gloves. Not for pregnant or asthmatic people. The label, local rules and a fish vet come first.
One male only is a risk: have a second one ready.
Do not cut a male before eggs run.','{"run":1,"called":"","species":"african-catfish","way":"stripped","preparation":"premix","strength":{"ug_per_ml":20.0,"mg_per_ml":10.0,"iu_per_vial":null,"diluent_ml":null},"strength_assumed":true,"ml_per_kg":0.5,"fish":[{"tag":"F1","sex":"f","kg":2.4,"priming_ml":null,"final_ml":1.2,"drawn_ml":1.2,"shots":[{"n":1,"role":"only","ml":1.2,"amount":24.0,"unit":"ug","drawn_ml":1.2,"syringe_ml":2.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.0}],"syringe_ml":2.0},{"tag":"F2","sex":"f","kg":3.1,"priming_ml":null,"final_ml":1.55,"drawn_ml":1.6,"shots":[{"n":1,"role":"only","ml":1.55,"amount":31.0,"unit":"ug","drawn_ml":1.6,"syringe_ml":2.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.03225806451612906}],"syringe_ml":2.0},{"tag":"M1","sex":"m","kg":1.9,"priming_ml":null,"final_ml":0.48,"drawn_ml":0.48,"shots":[{"n":1,"role":"only","ml":0.48,"amount":9.5,"unit":"ug","drawn_ml":0.48,"syringe_ml":1.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.010526315789473694}],"syringe_ml":1.0}],"total_ml":3.28,"draw_ml":3.8,"syringe_ml":2.0,"graduation_ml":0.1,"warnings":["male-optional","strength-assumed"],"basis":["sharaf-2012","trade","premix-label","memory","catfish-teaching-note-2012","common-label"],"mark":"from memory","per_kg":10.0,"unit":"ug","total":64.5,"make":70.95,"makings":[],"vials":null,"glands":null,"own":null,"weights":[],"cautions":["gloves","one-male","cut-after-eggs"],"farm":"ada"}','[{"action":"start","label":"Start: African catfish, bottle 20 ug + 10 mg per mL","command":{"kind":"start-run","run_number":1}},{"action":"pick:1","label":"striped catfish","command":{"kind":"change-run","run_number":1,"species":"striped-catfish","way":null,"strength":null,"male_dose":null,"preparation":null}},{"action":"change:pituitary","label":"With pituitary","command":{"kind":"change-run","run_number":1,"species":null,"way":null,"strength":null,"male_dose":null,"preparation":"pituitary"}},{"action":"change:hcg","label":"With hCG","command":{"kind":"change-run","run_number":1,"species":null,"way":null,"strength":null,"male_dose":null,"preparation":"hcg"}},{"action":"change:lhrha","label":"With GnRH analogue","command":{"kind":"change-run","run_number":1,"species":null,"way":null,"strength":null,"male_dose":null,"preparation":"lhrha"}},{"action":"change:no-male-dose","label":"No dose for him","command":{"kind":"change-run","run_number":1,"species":null,"way":null,"strength":null,"male_dose":false,"preparation":null}},{"action":"change","label":"Other bottle","command":{"kind":"ask-for","about":"label","run_number":1,"events":[]}},{"action":"cancel","label":"Cancel","command":{"kind":"cancel","run":null,"run_number":1}}]',NULL,NULL,NULL,0,1,NULL,NULL,1780318860000000,'ada',1780318800000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(2,1,'ada',NULL,1780318860000000,'inject-plan','Inject 20:30, first look 04:45. OK?','{"run":1,"called":"","way":"stripped","strip_at":"2026-06-02T06:30:00+06:00","priming_at":null,"final_at":"2026-06-01T20:30:00+06:00","first_look_at":"2026-06-02T04:45:00+06:00","most_from_at":"2026-06-02T05:30:00+06:00","most_to_at":"2026-06-02T08:00:00+06:00","primings":[],"awake":[],"outside":null,"no_earlier":false,"farm":"ada"}','[{"action":"yes","label":"OK","command":{"kind":"agree-plan","run_number":1,"final_at":"2026-06-01T14:30:00+00:00"}},{"action":"earlier","label":"Earlier","command":{"kind":"move-plan","run_number":1,"final_at":"2026-06-01T14:30:00+00:00","minutes":-30}},{"action":"later","label":"Later","command":{"kind":"move-plan","run_number":1,"final_at":"2026-06-01T14:30:00+00:00","minutes":30}},{"action":"inject-now","label":"I inject now","command":{"kind":"inject-now","run_number":1,"tags":[]}}]',NULL,NULL,NULL,0,1,NULL,NULL,1780318920000000,'ada',1780318860000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(3,1,'ada',NULL,1780318920000000,'plan','The night, to copy on the wall:
19:30 get ready
20:30 inject
04:45 about: look at the females
06:30 about: strip
18:30 about: count fertilised eggs
Wed 02:00 about: look for larvae
Sat 07:30 about: first feed
Set your phone alarm for 04:40 too.
A chat message wakes no sleeper.','{"run":1,"called":"","times":[{"step":"get-ready","at":"2026-06-01T19:30:00+06:00","about":false,"called":""},{"step":"inject","at":"2026-06-01T20:30:00+06:00","about":false,"called":""},{"step":"check-females","at":"2026-06-02T04:45:00+06:00","about":true,"called":""},{"step":"strip","at":"2026-06-02T06:30:00+06:00","about":true,"called":""},{"step":"check-fertilised","at":"2026-06-02T18:30:00+06:00","about":true,"called":""},{"step":"check-hatch","at":"2026-06-03T02:00:00+06:00","about":true,"called":""},{"step":"first-feed","at":"2026-06-06T07:30:00+06:00","about":true,"called":""}],"alarm_at":"2026-06-02T04:40:00+06:00","alarms":["2026-06-02T04:40:00+06:00"],"cautions":["phone-alarm"],"farm":"ada"}','[{"action":"answer:trial","label":"Ring me once","command":{"kind":"trial-bell","run_number":1}}]',NULL,NULL,NULL,0,1,NULL,NULL,NULL,NULL,1780318920000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(4,1,'ada',NULL,1780320600000000,'step','Get ready: dry bowls and towel, salt, feather, a second male, bottle and syringes, torch. Clean water running, females and males apart, brood fish unfed for a day.
They jump: tanks covered.','{"step":"get-ready","due_at":"2026-06-01T19:30:00+06:00","run":1,"called":"","species":"african-catfish","way":"stripped","group":"","batch":"","place":"","late_minutes":0,"look":1,"attempt":1,"bell":true,"tags":[],"doses":[],"makings":[],"minutes":null,"celsius":null,"last":false,"tried":[],"running":[],"since":null,"unanswered":[],"next_at":"2026-06-01T20:00:00+06:00","stickiness":"spread","destick_with":"","stage":"blastopore-closed","milt_ml":null,"male_cut":true,"bath_order":"unknown","after_hours":null,"rule":"","live_food":true,"outside":null,"doubts":[],"cautions":["they-jump"],"farm":"ada"}','[{"action":"done","label":"Done","command":{"kind":"done","at":null,"minutes_ago":null,"key":{"step":"get-ready","group":"","batch":"","fish":"","look":1},"run_number":1,"place":null,"well":false,"run":null,"only_ok":false}},{"action":"later-30","label":"In 30 min","command":{"kind":"snooze","minutes":30,"key":{"step":"get-ready","group":"","batch":"","fish":"","look":1},"run_number":1}},{"action":"skip","label":"Skip","command":{"kind":"skip-step","run_number":1,"key":{"step":"get-ready","group":"","batch":"","fish":"","look":1}}}]','{"step":"get-ready","due":"2026-06-01T19:30:00+06:00","run":1,"group":"","batch":"","fish":"","look":1,"attempt":1}',2,'1///get-ready//1/1/ada',0,1,NULL,NULL,1780324380000000,'ada',1780320600000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(5,1,'ada',NULL,1780322400000000,'step','Again: Get ready: dry bowls and towel, salt, feather, a second male, bottle and syringes, torch. Clean water running, females and males apart, brood fish unfed for a day.','{"step":"get-ready","due_at":"2026-06-01T19:30:00+06:00","run":1,"called":"","species":"african-catfish","way":"stripped","group":"","batch":"","place":"","late_minutes":0,"look":1,"attempt":2,"bell":true,"tags":[],"doses":[],"makings":[],"minutes":null,"celsius":null,"last":false,"tried":[],"running":[],"since":null,"unanswered":[],"next_at":"2026-06-01T20:30:00+06:00","stickiness":"spread","destick_with":"","stage":"blastopore-closed","milt_ml":null,"male_cut":true,"bath_order":"unknown","after_hours":null,"rule":"","live_food":true,"outside":null,"doubts":[],"farm":"ada"}','[{"action":"done","label":"Done","command":{"kind":"done","at":null,"minutes_ago":null,"key":{"step":"get-ready","group":"","batch":"","fish":"","look":1},"run_number":1,"place":null,"well":false,"run":null,"only_ok":false}},{"action":"later-30","label":"In 30 min","command":{"kind":"snooze","minutes":30,"key":{"step":"get-ready","group":"","batch":"","fish":"","look":1},"run_number":1}},{"action":"skip","label":"Skip","command":{"kind":"skip-step","run_number":1,"key":{"step":"get-ready","group":"","batch":"","fish":"","look":1}}}]','{"step":"get-ready","due":"2026-06-01T19:30:00+06:00","run":1,"group":"","batch":"","fish":"","look":1,"attempt":2}',2,'1///get-ready//1/2/ada',0,1,NULL,NULL,1780324380000000,'ada',1780322400000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(6,1,'ada',NULL,1780322400000000,'step','Not answered yet: get ready. Next bell 20:30.','{"step":"all-well","due_at":"2026-06-01T20:00:00+06:00","run":1,"called":"","species":"african-catfish","way":"stripped","group":"","batch":"","place":"","late_minutes":0,"look":1,"attempt":1,"bell":true,"tags":[],"doses":[],"makings":[],"minutes":null,"celsius":null,"last":false,"tried":[],"running":[],"since":null,"unanswered":["get-ready"],"next_at":"2026-06-01T20:30:00+06:00","stickiness":"spread","destick_with":"","stage":"blastopore-closed","milt_ml":null,"male_cut":true,"bath_order":"unknown","after_hours":null,"rule":"","live_food":true,"outside":null,"doubts":[],"farm":"ada"}','[]','{"step":"all-well","due":"2026-06-01T20:00:00+06:00","run":1,"group":"","batch":"","fish":"","look":1,"attempt":1}',4,'1///all-well//1/1/ada',0,1,NULL,NULL,NULL,NULL,1780322400000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(7,1,'ada',NULL,1780324200000000,'step','Inject now.
F1 2.4 kg: 1.2 mL
F2 3.1 kg: 1.6 mL (worked out: 1.55)
M1 1.9 kg: 0.48 mL
Back muscle, above the side line, needle at a slant. Draw back first; press the spot afterwards.','{"step":"inject","due_at":"2026-06-01T20:30:00+06:00","run":1,"called":"","species":"african-catfish","way":"stripped","group":"","batch":"","place":"","late_minutes":0,"look":1,"attempt":1,"bell":true,"tags":[],"doses":[{"tag":"F1","sex":"f","kg":2.4,"priming_ml":null,"final_ml":1.2,"drawn_ml":1.2,"shots":[{"n":1,"role":"only","ml":1.2,"amount":24.0,"unit":"ug","drawn_ml":1.2,"syringe_ml":2.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.0}],"syringe_ml":2.0},{"tag":"F2","sex":"f","kg":3.1,"priming_ml":null,"final_ml":1.55,"drawn_ml":1.6,"shots":[{"n":1,"role":"only","ml":1.55,"amount":31.0,"unit":"ug","drawn_ml":1.6,"syringe_ml":2.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.03225806451612906}],"syringe_ml":2.0},{"tag":"M1","sex":"m","kg":1.9,"priming_ml":null,"final_ml":0.48,"drawn_ml":0.48,"shots":[{"n":1,"role":"only","ml":0.48,"amount":9.5,"unit":"ug","drawn_ml":0.48,"syringe_ml":1.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.010526315789473694}],"syringe_ml":1.0}],"makings":[],"minutes":null,"celsius":null,"last":false,"tried":[],"running":[],"since":null,"unanswered":[],"next_at":"2026-06-01T20:32:00+06:00","stickiness":"spread","destick_with":"","stage":"blastopore-closed","milt_ml":null,"male_cut":true,"bath_order":"unknown","after_hours":null,"rule":"","live_food":true,"outside":null,"doubts":[],"farm":"ada"}','[{"action":"done","label":"Injected","command":{"kind":"done","at":null,"minutes_ago":null,"key":{"step":"inject","group":"","batch":"","fish":"","look":1},"run_number":1,"place":null,"well":false,"run":null,"only_ok":false}},{"action":"later-30","label":"In 30 min","command":{"kind":"snooze","minutes":30,"key":{"step":"inject","group":"","batch":"","fish":"","look":1},"run_number":1}},{"action":"cancel","label":"Cancel","command":{"kind":"cancel","run":null,"run_number":1}}]','{"step":"inject","due":"2026-06-01T20:30:00+06:00","run":1,"group":"","batch":"","fish":"","look":1,"attempt":1}',3,'1///inject//1/1/ada',1,1,NULL,NULL,1780324380000000,'ada',1780324200000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(8,1,'ada',NULL,1780324320000000,'step','Again: Inject now.
F1 2.4 kg: 1.2 mL
F2 3.1 kg: 1.6 mL (worked out: 1.55)
M1 1.9 kg: 0.48 mL
Back muscle, above the side line, needle at a slant. Draw back first; press the spot afterwards.','{"step":"inject","due_at":"2026-06-01T20:30:00+06:00","run":1,"called":"","species":"african-catfish","way":"stripped","group":"","batch":"","place":"","late_minutes":0,"look":1,"attempt":2,"bell":true,"tags":[],"doses":[{"tag":"F1","sex":"f","kg":2.4,"priming_ml":null,"final_ml":1.2,"drawn_ml":1.2,"shots":[{"n":1,"role":"only","ml":1.2,"amount":24.0,"unit":"ug","drawn_ml":1.2,"syringe_ml":2.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.0}],"syringe_ml":2.0},{"tag":"F2","sex":"f","kg":3.1,"priming_ml":null,"final_ml":1.55,"drawn_ml":1.6,"shots":[{"n":1,"role":"only","ml":1.55,"amount":31.0,"unit":"ug","drawn_ml":1.6,"syringe_ml":2.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.03225806451612906}],"syringe_ml":2.0},{"tag":"M1","sex":"m","kg":1.9,"priming_ml":null,"final_ml":0.48,"drawn_ml":0.48,"shots":[{"n":1,"role":"only","ml":0.48,"amount":9.5,"unit":"ug","drawn_ml":0.48,"syringe_ml":1.0,"blocker_mg":null,"liquid_ml":null,"places":1,"off":0.010526315789473694}],"syringe_ml":1.0}],"makings":[],"minutes":null,"celsius":null,"last":false,"tried":[],"running":[],"since":null,"unanswered":[],"next_at":"2026-06-01T20:34:00+06:00","stickiness":"spread","destick_with":"","stage":"blastopore-closed","milt_ml":null,"male_cut":true,"bath_order":"unknown","after_hours":null,"rule":"","live_food":true,"outside":null,"doubts":[],"farm":"ada"}','[{"action":"done","label":"Injected","command":{"kind":"done","at":null,"minutes_ago":null,"key":{"step":"inject","group":"","batch":"","fish":"","look":1},"run_number":1,"place":null,"well":false,"run":null,"only_ok":false}},{"action":"later-30","label":"In 30 min","command":{"kind":"snooze","minutes":30,"key":{"step":"inject","group":"","batch":"","fish":"","look":1},"run_number":1}},{"action":"cancel","label":"Cancel","command":{"kind":"cancel","run":null,"run_number":1}}]','{"step":"inject","due":"2026-06-01T20:30:00+06:00","run":1,"group":"","batch":"","fish":"","look":1,"attempt":2}',3,'1///inject//1/2/ada',1,1,NULL,NULL,1780324380000000,'ada',1780324320000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(9,1,'ada',NULL,1780324380000000,'strip-forecast','Injected 20:30, right?
First look 04:45. Most give 05:30-08:00. After 10:30 unlikely.
Water assumed 26.6 C: nobody told.
No second dose tonight, whatever happens.
Every injected fish is a treated fish; a cut male too, though he is dead. Nothing here clears a fish for eating.
How warm is the water?','{"run":1,"called":"","way":"stripped","group":"1","place":"","preparation":"premix","tags":["F1","F2","M1"],"final_injection_at":"2026-06-01T20:30:00+06:00","first_look_at":"2026-06-02T04:45:00+06:00","earliest_at":"2026-06-02T04:45:00+06:00","most_from_at":"2026-06-02T05:30:00+06:00","likely_at":"2026-06-02T06:30:00+06:00","most_to_at":"2026-06-02T08:00:00+06:00","latest_at":"2026-06-02T10:30:00+06:00","look_every_minutes":60,"give_up_at":"2026-06-02T12:30:00+06:00","egg_life_minutes":120,"celsius":26.6,"celsius_source":"assumed","basis":["hogendoorn-vismans-1980","okere-2015","sharaf-2012","trade","catfish-teaching-note-2012"],"mark":"from memory","echo":true,"wide":false,"rest":[],"next_look_at":null,"alarm_at":null,"asks":"water","cautions":["no-second-dose","treated-fish"],"farm":"ada"}','[{"action":"answer:-10","label":"10 min earlier","command":{"kind":"shift-time","run_number":1,"events":[6],"minutes":10}},{"action":"answer:-30","label":"30 min earlier","command":{"kind":"shift-time","run_number":1,"events":[6],"minutes":30}},{"action":"answer:other","label":"Other time","command":{"kind":"ask-for","about":"act-time","run_number":1,"events":[6]}},{"action":"undo","label":"Undo","command":{"kind":"undo","events":[6]}},{"action":"answer:none","label":"No thermometer","command":{"kind":"temperature","celsius":null,"at":null,"unknown":true,"guessed":null,"place":null,"group":null,"run":null}}]',NULL,NULL,NULL,0,1,NULL,NULL,NULL,NULL,1780324380000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(10,1,'ada',NULL,1780324380000000,'plan','The night, to copy on the wall:
04:45 look at the females
06:30 about: strip
18:30 about: count fertilised eggs
Wed 02:00 about: look for larvae
Sat 07:30 about: first feed
Set your phone alarm for 04:40 too.','{"run":1,"called":"","times":[{"step":"check-females","at":"2026-06-02T04:45:00+06:00","about":false,"called":""},{"step":"strip","at":"2026-06-02T06:30:00+06:00","about":true,"called":""},{"step":"check-fertilised","at":"2026-06-02T18:30:00+06:00","about":true,"called":""},{"step":"check-hatch","at":"2026-06-03T02:00:00+06:00","about":true,"called":""},{"step":"first-feed","at":"2026-06-06T07:30:00+06:00","about":true,"called":""}],"alarm_at":"2026-06-02T04:40:00+06:00","alarms":["2026-06-02T04:40:00+06:00"],"farm":"ada"}','[]',NULL,NULL,NULL,0,1,NULL,NULL,NULL,NULL,1780324380000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(11,1,'ada',NULL,1780324500000000,'strip-forecast','First look 04:30. Most give 05:00-07:45. After 10:15 unlikely.
Water 27 C.
Set your phone alarm for 04:25 instead.','{"run":1,"called":"","way":"stripped","group":"1","place":"","preparation":"premix","tags":["F1","F2","M1"],"final_injection_at":"2026-06-01T20:30:00+06:00","first_look_at":"2026-06-02T04:30:00+06:00","earliest_at":"2026-06-02T04:30:00+06:00","most_from_at":"2026-06-02T05:00:00+06:00","likely_at":"2026-06-02T06:15:00+06:00","most_to_at":"2026-06-02T07:45:00+06:00","latest_at":"2026-06-02T10:15:00+06:00","look_every_minutes":60,"give_up_at":"2026-06-02T12:15:00+06:00","egg_life_minutes":120,"celsius":27.0,"celsius_source":"measured","basis":["hogendoorn-vismans-1980","okere-2015","sharaf-2012","trade","catfish-teaching-note-2012"],"mark":"from memory","echo":false,"wide":false,"rest":[],"next_look_at":null,"alarm_at":"2026-06-02T04:25:00+06:00","farm":"ada"}','[]',NULL,NULL,NULL,0,1,NULL,NULL,NULL,NULL,1780324500000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(12,1,'ada',NULL,1780353000000000,'step','Look at the females now: F1, F2. Press once, gently: eggs that run at a touch?','{"step":"check-females","due_at":"2026-06-02T04:30:00+06:00","run":1,"called":"","species":"african-catfish","way":"stripped","group":"1","batch":"","place":"","late_minutes":0,"look":1,"attempt":1,"bell":true,"tags":["F1","F2"],"doses":[],"makings":[],"minutes":null,"celsius":null,"last":false,"tried":[],"running":[],"since":null,"unanswered":[],"next_at":"2026-06-02T04:32:00+06:00","stickiness":"spread","destick_with":"","stage":"blastopore-closed","milt_ml":null,"male_cut":true,"bath_order":"unknown","after_hours":null,"rule":"","live_food":true,"outside":null,"doubts":[],"farm":"ada"}','[{"action":"eggs-run","label":"Eggs run","command":{"kind":"eggs_run","run_number":1,"group":"1","tags":[],"at":null,"minutes_ago":null,"place":null,"run":null}},{"action":"not-yet","label":"Not yet","command":{"kind":"not_yet","key":{"step":"check-females","group":"1","batch":"","fish":"","look":1},"run_number":1,"about":"","of_fish":[],"place":null,"run":null}},{"action":"stop-looking","label":"Stop looking","command":{"kind":"stop-looking","run_number":1,"group":"1"}}]','{"step":"check-females","due":"2026-06-02T04:30:00+06:00","run":1,"group":"1","batch":"","fish":"","look":1,"attempt":1}',6,'1/1//check-females//1/1/ada',1,1,NULL,NULL,1780353180000000,'ada',1780353000000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(13,1,'ada',NULL,1780353120000000,'step','Again: Look at the females now: F1, F2. Press once, gently: eggs that run at a touch?','{"step":"check-females","due_at":"2026-06-02T04:30:00+06:00","run":1,"called":"","species":"african-catfish","way":"stripped","group":"1","batch":"","place":"","late_minutes":0,"look":1,"attempt":2,"bell":true,"tags":["F1","F2"],"doses":[],"makings":[],"minutes":null,"celsius":null,"last":false,"tried":[],"running":[],"since":null,"unanswered":[],"next_at":"2026-06-02T04:34:00+06:00","stickiness":"spread","destick_with":"","stage":"blastopore-closed","milt_ml":null,"male_cut":true,"bath_order":"unknown","after_hours":null,"rule":"","live_food":true,"outside":null,"doubts":[],"farm":"ada"}','[{"action":"eggs-run","label":"Eggs run","command":{"kind":"eggs_run","run_number":1,"group":"1","tags":[],"at":null,"minutes_ago":null,"place":null,"run":null}},{"action":"not-yet","label":"Not yet","command":{"kind":"not_yet","key":{"step":"check-females","group":"1","batch":"","fish":"","look":1},"run_number":1,"about":"","of_fish":[],"place":null,"run":null}},{"action":"stop-looking","label":"Stop looking","command":{"kind":"stop-looking","run_number":1,"group":"1"}}]','{"step":"check-females","due":"2026-06-02T04:30:00+06:00","run":1,"group":"1","batch":"","fish":"","look":1,"attempt":2}',6,'1/1//check-females//1/2/ada',1,1,NULL,NULL,1780353180000000,'ada',1780353120000000,NULL,'sent',0,0,0,'',0);
INSERT INTO "outbox" VALUES(14,1,'ada',NULL,1780353180000000,'noted','Not yet. Leave them in peace until the next look.
Next 05:30: look at the females.','{"what":"not-yet","run":1,"called":"","at":null,"tags":[],"step":"","celsius":null,"number":null,"word":"","strength":null,"next_step":"check-females","next_at":"2026-06-02T05:30:00+06:00","next_called":"","echo":false,"total":null,"whole":null,"syringes":[],"farm":"ada"}','[]',NULL,NULL,NULL,0,1,NULL,NULL,NULL,NULL,1780353180000000,NULL,'sent',0,0,0,'',0);
CREATE TABLE people (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        key TEXT NOT NULL UNIQUE CHECK (key <> ''),
        name TEXT NOT NULL,
        lang TEXT NOT NULL CHECK (lang <> '')
    ) STRICT
    ;
INSERT INTO "people" VALUES(1,'ada','ada','en');
CREATE TABLE photos (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
            run INTEGER NOT NULL CHECK (run >= 0),
            source TEXT NOT NULL,
            name TEXT NOT NULL,
            picture BLOB NOT NULL CHECK (length(picture) <= 1048576)
        , file_id TEXT NOT NULL DEFAULT '') STRICT
        ;
CREATE TABLE presses (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        query TEXT NOT NULL CHECK (query <> ''),
        at INTEGER NOT NULL,
        tries INTEGER NOT NULL DEFAULT 0 CHECK (tries >= 0),
        not_before INTEGER NOT NULL DEFAULT 0
    ) STRICT
    ;
CREATE TABLE reminders (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        run INTEGER NOT NULL CHECK (run >= 0),
        step TEXT NOT NULL CHECK (step <> ''),
        grp TEXT NOT NULL,
        batch TEXT NOT NULL,
        fish TEXT NOT NULL,
        look INTEGER NOT NULL,
        due_at INTEGER NOT NULL,
        wakes INTEGER NOT NULL CHECK (wakes IN (0, 1)),
        once INTEGER NOT NULL CHECK (once IN (0, 1)),
        state TEXT NOT NULL CHECK (state IN ('waiting', 'ringing', 'rung-out', 'answered', 'withdrawn')),
        attempts INTEGER NOT NULL DEFAULT 0 CHECK (attempts >= 0),
        next_at INTEGER CHECK (next_at IS NULL OR state IN ('waiting', 'ringing')),
        last_rung_at INTEGER,
        UNIQUE (farm, run, step, grp, batch, fish, look),
        UNIQUE (farm, id)
    ) STRICT
    ;
INSERT INTO "reminders" VALUES(1,1,1,'close','','','',1,1780813500000000,0,1,'waiting',0,1780813500000000,NULL);
INSERT INTO "reminders" VALUES(2,1,1,'get-ready','','','',1,1780320600000000,0,0,'answered',2,NULL,1780322400000000);
INSERT INTO "reminders" VALUES(3,1,1,'inject','','','',1,1780324200000000,1,0,'answered',2,NULL,1780324320000000);
INSERT INTO "reminders" VALUES(4,1,1,'all-well','','','',1,1780322400000000,0,1,'rung-out',1,NULL,1780322400000000);
INSERT INTO "reminders" VALUES(5,1,1,'all-well','','','',2,1780408800000000,0,1,'waiting',0,1780408800000000,NULL);
INSERT INTO "reminders" VALUES(6,1,1,'check-females','1','','',1,1780353000000000,1,0,'answered',2,NULL,1780353120000000);
INSERT INTO "reminders" VALUES(7,1,1,'check-females','1','','',2,1780356600000000,1,0,'waiting',0,1780356600000000,NULL);
INSERT INTO "reminders" VALUES(8,1,1,'check-females','1','','',3,1780360200000000,1,0,'waiting',0,1780360200000000,NULL);
INSERT INTO "reminders" VALUES(9,1,1,'check-females','1','','',4,1780363800000000,1,0,'waiting',0,1780363800000000,NULL);
INSERT INTO "reminders" VALUES(10,1,1,'check-females','1','','',5,1780367400000000,1,0,'waiting',0,1780367400000000,NULL);
INSERT INTO "reminders" VALUES(11,1,1,'check-females','1','','',6,1780371000000000,1,0,'waiting',0,1780371000000000,NULL);
INSERT INTO "reminders" VALUES(12,1,1,'check-females','1','','',7,1780377300000000,1,0,'waiting',0,1780377300000000,NULL);
INSERT INTO "reminders" VALUES(13,1,1,'check-females','1','','',8,1780380900000000,1,0,'waiting',0,1780380900000000,NULL);
INSERT INTO "reminders" VALUES(14,1,1,'all-well','','','',3,1780495200000000,0,1,'waiting',0,1780495200000000,NULL);
CREATE TABLE runs (
        farm INTEGER NOT NULL REFERENCES farms (id) ON DELETE CASCADE,
        number INTEGER NOT NULL CHECK (number > 0),
        state TEXT NOT NULL CHECK (state IN ('draft', 'open', 'closed', 'not-reported', 'cancelled')),
        body TEXT NOT NULL, version INTEGER NOT NULL DEFAULT 0 CHECK (version >= 0),
        PRIMARY KEY (farm, number)
    ) STRICT
    ;
INSERT INTO "runs" VALUES(1,1,'open','{"run":1,"species":"african-catfish","begun_at":"2026-06-01T14:30:00+00:00","ended_at":null,"state":"open","fertilised_percent":null,"hatched_percent":null,"hatched_of":"unknown","hatched_at":null,"larvae":null,"hours_to_strip":null,"ovulated":null,"injected":2,"had_eggs":false,"way":"stripped","batches":[],"sold":null,"injected_kg":5.5,"gave_kg":null,"egg_grams":null,"swim_up":null,"larvae_span":null,"swim_up_span":null,"fertilised_span":null,"hatched_span":null,"eggs_per_gram":null,"egg_litres":null,"eggs_per_ml":null,"fish":[{"tag":"F1","sex":"f","kg":2.4,"first_at":"2026-06-01T14:30:00+00:00","ml":1.2,"amount":24.0,"unit":"ug","state":"waiting","gave_at":null,"egg_grams":null},{"tag":"F2","sex":"f","kg":3.1,"first_at":"2026-06-01T14:30:00+00:00","ml":1.6,"amount":31.0,"unit":"ug","state":"waiting","gave_at":null,"egg_grams":null},{"tag":"M1","sex":"m","kg":1.9,"first_at":"2026-06-01T14:30:00+00:00","ml":0.48,"amount":9.5,"unit":"ug","state":"waiting","gave_at":null,"egg_grams":null}],"preparation":"premix","strength":{"ug_per_ml":20.0,"mg_per_ml":10.0,"iu_per_vial":null,"diluent_ml":null},"used_ml":3.28}',1);
CREATE TABLE vitals (name TEXT PRIMARY KEY, at INTEGER NOT NULL) STRICT;
CREATE TABLE wrong_links (person INTEGER NOT NULL REFERENCES people (id), at INTEGER NOT NULL) STRICT;
CREATE UNIQUE INDEX "idx__sqlite_migrations_migration_set_name"
    ON "_sqlite_migrations" ("migration_set", "name");
CREATE INDEX members_by_person ON members (person);
CREATE INDEX chats_by_farm ON chats (farm);
CREATE INDEX runs_active ON runs (farm, number) WHERE state IN ('draft', 'open');
CREATE INDEX events_by_run ON events (farm, run, id);
CREATE INDEX events_by_source ON events (farm, source) WHERE source IS NOT NULL;
CREATE INDEX reminders_due ON reminders (next_at, farm, id) WHERE next_at IS NOT NULL;
CREATE INDEX reminders_ringing ON reminders (farm) WHERE state = 'ringing';
CREATE INDEX inbox_waiting ON inbox (id) WHERE state = 'waiting';
CREATE INDEX outbox_unsent ON outbox (alarm DESC, id) WHERE state = 'unsent';
CREATE INDEX outbox_by_chat ON outbox (chat, id);
CREATE INDEX outbox_of_bell ON outbox (farm, reminder_id) WHERE reminder_id IS NOT NULL;
CREATE INDEX photos_by_run ON photos (farm, run);
CREATE INDEX outbox_spent ON outbox (id) WHERE keyboard = 1 AND spent_at IS NOT NULL;
CREATE INDEX outbox_by_message ON outbox (chat, message_id) WHERE message_id IS NOT NULL;
CREATE INDEX outbox_sent ON outbox (sent_at) WHERE sent_at IS NOT NULL;
CREATE INDEX inbox_by_user ON inbox (user, received_at);
CREATE INDEX inbox_done ON inbox (received_at) WHERE state <> 'waiting';
CREATE INDEX photos_to_fetch ON photos (id) WHERE file_id <> '';
CREATE INDEX links_by_farm ON links (farm);
CREATE INDEX wrong_links_by_person ON wrong_links (person, at);
CREATE INDEX farms_going ON farms (goes_at) WHERE goes_at IS NOT NULL;
CREATE INDEX runs_by_version ON runs (version);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('inbox',6);
INSERT INTO "sqlite_sequence" VALUES('people',1);
INSERT INTO "sqlite_sequence" VALUES('farms',1);
INSERT INTO "sqlite_sequence" VALUES('chats',1);
INSERT INTO "sqlite_sequence" VALUES('reminders',14);
INSERT INTO "sqlite_sequence" VALUES('outbox',14);
COMMIT;
PRAGMA user_version = 6;
