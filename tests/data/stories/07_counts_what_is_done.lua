-- Counts what the trainee does, and answers the third time otherwise.
--! do: 10 lamp test
--! do: 20 lamp test
--! do: 30 lamp test
--! happens: 00:10.1 told Lamp test 1.
--! happens: 00:20.1 told Lamp test 2.
--! happens: 00:30.1 told That is enough of testing.
exercise { title = "Counts", plant = "valve-bench", start = "cold", lasts = "5 min" }
step "open" { marks = 1, done = actual("XV-1001"):above("90 % open") }

story(function(run)
  for n = 1, 3 do
    run:wait_until(did("lamp test"))
    run:tell(n < 3 and ("Lamp test " .. n .. ".") or "That is enough of testing.")
    run:wait("1 s")
  end
end)
