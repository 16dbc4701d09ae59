-- Works with figures: tells how far the valve is, in its own words.
--! do: 10 operate XV-1001 open
--! happens: 00:12.1 told 26 % after 12 s
--! happens: 00:14.1 told 51 % after 14 s
--! happens: 00:16.1 told 76 % after 16 s
exercise { title = "Reads a value", plant = "valve-bench", start = "cold", lasts = "5 min" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  run:wait_until(did("XV-1001", "open"))
  for _ = 1, 3 do
    run:wait("2 s")
    run:tell(("%.0f %% after %.0f s"):format(run:value(actual("XV-1001")), run:time()))
  end
end)
