exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
local pump_1, pump_2 = did("P-3001", "start"), did("P-3002", "start")
step "feed" { marks = 4, done = pump_1 or pump_2 } -- finds: script::and-or
