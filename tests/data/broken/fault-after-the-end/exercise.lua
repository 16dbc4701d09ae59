exercise { title = "Broken", plant = "training-vessel", start = "cold", lasts = "80 min" }
fault "lamp" { on = "XL-2104", kind = "dark", at = "90 min" } -- finds: warning script::idle-fault
fault "drain" { on = "XV-2104", kind = "seized", after = { lit("BL-2001"), "2 h" } } -- finds: warning script::idle-fault
fault "feed" {
  on = "LCV-3001", kind = "seized", at = "30 min",
  clears_at = "20 min", -- finds: warning script::clears-early
}
step "flame" { marks = 4, done = lit("BL-2001") }
