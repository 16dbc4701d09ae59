-- A pattern written once as a function, and used for two faults.
--! do: 30 lamp test
--! happens: 00:10.1 on lamp
--! happens: 00:30.1 off lamp
--! happens: 00:40.1 on other lamp
--! happens: 01:40.1 off other lamp
--! happens: 01:40.1 ended tested the first: true, the second: false
exercise { title = "Own words", plant = "valve-bench", start = "cold", lasts = "5 min" }
fault "lamp" { on = "XL-1001", kind = "dark" }
fault "other lamp" { on = "XL-1002", kind = "dark" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

local function until_tested(run, name, most)
  run:inject(name)
  local tested = run:wait_until(did("lamp test"), most)
  run:clear(name)
  return tested
end
story(function(run)
  run:wait("10 s")
  local first = until_tested(run, "lamp", "60 s")
  run:wait("10 s")
  local second = until_tested(run, "other lamp", "60 s")
  run:finish(("tested the first: %s, the second: %s"):format(tostring(first), tostring(second)))
end)
