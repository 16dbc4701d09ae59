exercise {
  title = "A lamp that lies",
  plant = "valve-bench",
  start = "cold",
  lasts = "6 min",
  brief = "Open the inlet valve, prove that it is open, and report what is wrong.",
  pass = 6,
}

fault "lamp" { on = "XL-1001", kind = "dark", at = "0 s" }

step "inlet open" { marks = 2, done = actual("ZSH-1001"):is("open") }
step "proved" {
  marks = 4,
  done = did("lamp test"):followed_within("2 min", did("local check", "XV-1001")),
  after = "inlet open",
  practise = "Prove a lamp before you believe it: test it, then send somebody.",
}
step "reported" {
  marks = 2,
  done = did("report", "XL-1001"),
  after = "proved",
  full_by = "3 min",
  none_by = "5 min",
}
