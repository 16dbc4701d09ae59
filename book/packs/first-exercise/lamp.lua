exercise {
  title = "A lamp that lies",
  plant = "valve-bench",
  start = "cold",
  lasts = "6 min",
  brief = "Open the inlet valve, make sure that it is open, then open the outlet valve.",
  pass = 6,
}

fault "lamp" { on = "XL-1001", kind = "dark", at = "0 s" }

step "inlet open" { marks = 2, done = actual("ZSH-1001"):is("open") }
step "proved" {
  marks = 4,
  done = did("lamp test"):followed_within("2 min", did("local check", "XV-1001")),
  after = "inlet open",
  practise = "Prove a lamp before you believe it: lamp test first, then send somebody to look.",
}
step "outlet open" { marks = 2, done = actual("ZSH-1002"):is("open"), after = "proved" }
