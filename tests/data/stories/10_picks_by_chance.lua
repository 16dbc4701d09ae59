-- Picks what fails from a list by the seed of the run, and never what was picked before.
--! happens: 00:30.1 on lamp XL-1002
--! happens: 01:00.1 on lamp XL-1001
exercise { title = "Chance", plant = "valve-bench", start = "cold", lasts = "5 min" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

local left = {}
for _, tag in ipairs({ "XL-1001", "XL-1002" }) do
  fault("lamp " .. tag) { on = tag, kind = "dark" }
  left[#left + 1] = "lamp " .. tag
end
story(function(run)
  while #left > 0 do
    run:wait("30 s")
    run:inject(table.remove(left, math.random(#left)))
  end
end)
