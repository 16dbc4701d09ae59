-- Two stories that follow each other through what the script keeps in mind.
--! happens: 01:00.1 told Something is about to fail.
--! happens: 01:20.1 on lamp
exercise { title = "Two stories", plant = "valve-bench", start = "cold", lasts = "5 min" }
fault "lamp" { on = "XL-1001", kind = "dark" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

local warned = false
story(function(run)
  run:wait("1 min")
  warned = true
  run:tell("Something is about to fail.")
end)
story(function(run)
  while not warned do run:wait("10 s") end
  run:wait("20 s")
  run:inject("lamp")
end)
