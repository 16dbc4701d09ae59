exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "pump" { marks = 4, done = did("P-3003", "start") } -- finds: script::unknown-action
step "level" { marks = 4, done = set_to("LIC-3001", "auto") } -- finds: script::unknown-word
step "by-pass" { marks = 4, done = setting("P-3001"):above("10 % open") } -- finds: script::no-dial
