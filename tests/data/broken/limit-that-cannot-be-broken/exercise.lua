exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
limit "pressure" { marks = 4, keep = shown("PT-2001"):below("40 barg") } -- finds: warning script::always
limit "metal" { marks = 4, keep = actual("TT-2102"):below("900 degC") } -- finds: warning script::always
limit "hot" { marks = 4, keep = actual("TT-2102"):above("900 degC") } -- finds: warning script::never
