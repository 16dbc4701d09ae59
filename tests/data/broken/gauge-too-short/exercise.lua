exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
step "steam" { marks = 4, done = shown("PT-2001"):above("30 barg") } -- finds: script::never
fault "lamp" { on = "XL-2104", kind = "dark", when = shown("LT-2001"):above("400 mm") } -- finds: script::never
