#include "sample.hpp"

/// Mixing: strengths, volumes and weights.
using namespace budwood;
using namespace budwood::sheet;
using namespace budwood::sheet::test;

namespace {

/// The value of a formula in base units.
double worth(const std::string& formula) {
  const Sample sample(protocol("let mix = " + formula + "\nstage grow of plant { lasts 9 days }\n" +
                               "require mix = mix else \"no\""));
  return sample.value(sample.sheet({ready_by("2027-05-07")}), "mix");
}

const double litre = 1e-3;

}  // namespace

// C1 V1 = C2 V2.
TEST_CASE("a dilution takes so much of its stock") {
  CHECK(worth("dilution(12 %, 0.6 %, 10 L)") == doctest::Approx(0.5 * litre));
  CHECK(worth("dilution(100 g/L, 2 g/L, 5 L)") == doctest::Approx(0.1 * litre));
  CHECK(worth("dilution(95 %, 70 %, 1 L)") == doctest::Approx(0.7368421 * litre));
  CHECK(worth("dilution(5000 ppm, 100 ppm, 200 L)") == doctest::Approx(4 * litre));
}

// 1 ppm by weight in water is 1 mg/L; 1 % weight by volume is 10 g/L.
TEST_CASE("so much is weighed for a strength") {
  CHECK(worth("dissolve(200 ppm, 100 L)") == doctest::Approx(0.020));
  CHECK(worth("dissolve(1 %, 1 L)") == doctest::Approx(0.010));
  CHECK(worth("250 mg/L * 40 L") == doctest::Approx(0.010));
}
