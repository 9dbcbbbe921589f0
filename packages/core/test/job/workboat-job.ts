/** A job sheet of an invented harbour workboat with two engine controllers. */
export const workboatJob = {
  job: "assay.job/1",
  title: "Port unit failed, donor bought",
  machine: { number: "WB-HULL-00017", build: { market: "north", engine: "E614", gearbox: "G21" } },
  units: [
    {
      side: "port",
      label: {
        "hardware-number": "WB40-2000-C",
        "part-number": ["WB40-7001-02", "7001 02"],
        "serial-number": "0000001234",
      },
    },
    {
      side: "starboard",
      label: { "hardware-number": "WB40-2000-C" },
      tester: {
        dataIdentifiers: { F188: "WB40S1040", ECUSerialNumber: "0000005678", F181: ["A", "B"] },
        calibrations: [{ identification: "WB40C1040N", verificationNumber: "0x29 b1" }],
      },
    },
  ],
  donor: { label: { "hardware-number": "WB40-2000-D" } },
  wanted: { software: "WB40S1040" },
  note: "first start with the drive disengaged",
};
