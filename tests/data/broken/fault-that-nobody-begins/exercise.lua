-- finds in this file: warning check::no-model
exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "lamp" { on = "XL-2104", kind = "dark" } -- finds: warning script::idle-fault
fault "drain" { on = "XV-2104", kind = "seized" }
step "flame" { marks = 4, done = lit("BL-2001") }

story(function(run)
  run:wait("5 min")
  run:inject("drain")
end)
