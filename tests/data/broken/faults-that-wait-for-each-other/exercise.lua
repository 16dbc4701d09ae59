exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "lamp" { on = "XL-2104", kind = "dark", when = fault_acting("drain") } -- finds: warning script::idle-fault
fault "drain" { on = "XV-2104", kind = "seized", after = { fault_acting("lamp"), "1 min" } } -- finds: warning script::idle-fault
fault "feed" { on = "LCV-3001", kind = "seized", when = any(fault_acting("lamp"), lit("BL-2001")) }
step "flame" { marks = 4, done = lit("BL-2001") }
