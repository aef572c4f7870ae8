#include <algorithm>

#include "language/formulas/formula_checker.hpp"

/// Functions of formulas that speak of air, light and warmth; engine/climate works them out.
namespace budwood::language {

namespace {

const units::Dimension photon_flux =
    units::Dimension::of(units::Base::substance) / (units::area * units::time);
const units::Dimension pressure = units::mass / (units::length * units::time.to_power(2));

}  // namespace

const std::vector<std::string>& lamp_names() {
  static const std::vector<std::string> names{
      "sunlight",     "blue_sky",  "high_pressure_sodium", "metal_halide", "cool_white_fluorescent",
      "incandescent", "white_led",
  };
  return names;
}

/// Nothing when the name is no function of this file.
std::optional<FormulaId> FormulaChecker::climate_function(const syntax::Formula& formula,
                                                          const std::vector<FormulaId>& arguments) {
  const std::string& name = formula.name.text;
  const auto pair = [&](Operation operation, const Type& left, const Type& right,
                        const Type& result) {
    const bool fits =
        accepts(formula, 0, arguments[0], left) && accepts(formula, 1, arguments[1], right);
    return fits ? apply(operation, result, formula.span, {arguments[0], arguments[1]}) : no_formula;
  };
  const Type share = Type::quantity(units::number);
  if (name == "vpd") {
    return pair(Operation::vapour_pressure_deficit, Type::temperature(), share,
                Type::quantity(pressure));
  }
  if (name == "dew_point") {
    return pair(Operation::dew_point, Type::temperature(), share, Type::temperature());
  }
  if (name == "absolute_humidity") {
    return pair(Operation::absolute_humidity, Type::temperature(), share,
                Type::quantity(units::mass / units::volume));
  }
  if (name == "light_sum") {
    return pair(Operation::light_sum, Type::quantity(photon_flux), Type::quantity(units::time),
                Type::quantity(photon_flux));
  }
  if (name == "degree_days") return degree_days(formula, arguments);
  return std::nullopt;
}

/// photon_flux(light, lamp): how many lux a photon is worth depends on its colour, so the lamp must
/// be named.
FormulaId FormulaChecker::lamp_flux(const syntax::Formula& formula) {
  if (formula.arguments.size() != 2) {
    diagnostics_.error("argument-count", formula.span,
                       "`photon_flux` takes light in lux or foot-candles and the name of a lamp.",
                       "Such as: photon_flux(5 klx, sunlight)");
    return no_formula;
  }
  const FormulaId light = check(formula.arguments[0]);
  if (light == no_formula || !accepts(formula, 0, light, Type::quantity(units::illuminance))) {
    return no_formula;
  }
  const syntax::Formula& lamp = formula.arguments[1];
  const auto& names = lamp_names();
  const auto found = std::find(names.begin(), names.end(), lamp.name.text);
  if (lamp.kind != syntax::Formula::Kind::name || found == names.end()) {
    std::string advice = text::did_you_mean(lamp.name.text, names);
    if (advice.empty()) advice = "Known: " + text::list_words(names, "and") + ".";
    diagnostics_.error("unknown-name", lamp.span, "This is the name of no lamp.", advice);
    return no_formula;
  }
  const FormulaId number = constant(static_cast<double>(found - names.begin()),
                                    Type::quantity(units::number), lamp.span);
  return apply(Operation::photon_flux, Type::quantity(photon_flux), formula.span, {light, number});
}

/// degree_days(air, base, time): the warmth above a base that a kept temperature brings in a time.
FormulaId FormulaChecker::degree_days(const syntax::Formula& formula,
                                      const std::vector<FormulaId>& arguments) {
  const Type degrees = Type::quantity(units::temperature);
  const Type time = Type::quantity(units::time);
  if (!accepts(formula, 0, arguments[0], Type::temperature()) ||
      !accepts(formula, 1, arguments[1], Type::temperature()) ||
      !accepts(formula, 2, arguments[2], time)) {
    return no_formula;
  }
  const FormulaId above =
      apply(Operation::subtract, degrees, formula.span, {arguments[0], arguments[1]});
  const FormulaId warm =
      apply(Operation::maximum, degrees, formula.span, {above, constant(0, degrees, formula.span)});
  return apply(Operation::multiply, Type::quantity(units::temperature * units::time), formula.span,
               {warm, arguments[2]});
}

}  // namespace budwood::language
