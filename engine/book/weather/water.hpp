#pragma once

#include <optional>
#include <string>
#include <vector>

#include "book/yaml/written.hpp"

namespace budwood::book {

/// An acid as it is sold. What a litre of it neutralizes: density x share / molar mass x protons
/// that it gives up above pH 5.
struct Acid {
  std::string name;     ///< "sulfuric 93 %"
  double strength = 0;  ///< mol of protons for a m3
};
/// Those that have a name.
const std::vector<Acid>& acids();

/// What a site knows of its raw water.
struct Water {
  std::optional<Placed<double>> ec;  ///< S/m
  std::optional<Placed<double>> ph;
  std::optional<Placed<double>> alkalinity;  ///< as CaCO3, kg/m3
  std::optional<Placed<double>> hardness;    ///< as CaCO3, kg/m3
  std::optional<Acid> acid;                  ///< with which it is made less alkaline
  text::Span span;                           ///< of `water:`

  /// The acid that brings a m3 of it to a pH, m3; nothing where it is not known.
  std::optional<double> acid_for(double ph) const;
};

/// Which share of the alkalinity is neutralized at a pH: bicarbonate that has become carbonic acid,
/// with pK 6.35 at 25 degC (Stumm & Morgan, Aquatic Chemistry, from memory). Four fifths at pH 5.8.
double neutralized_share(double ph);

}  // namespace budwood::book
