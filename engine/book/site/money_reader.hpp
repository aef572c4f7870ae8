/// Prices, all in one currency. Private to this module.
#pragma once

#include <optional>
#include <vector>

#include "book/yaml/values.hpp"
#include "book/yaml/written.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// Reads amounts of money: `0.60`, `0.60 EUR`, `12 EUR/pack` or `12 EUR per pack`.
class MoneyReader {
 public:
  /// `stated` is the currency of the site; where it has none, that of the first of `prices` which
  /// names one counts, and then all others have to name it too.
  MoneyReader(const std::optional<Placed<std::string>>& stated,
              const std::vector<const Node*>& prices, text::Diagnostics& diagnostics);

  /// What counts for this site; nothing when neither it nor a price names a currency.
  const std::optional<Placed<std::string>>& currency() const { return currency_; }

  /// Money, perhaps for something; not negative. What is wrong is reported.
  std::optional<Written> read(const Node& node, const Wanted& wanted);

 private:
  bool check_currency(const Written& price, const std::string& key);

  std::optional<Placed<std::string>> currency_;
  bool stated_;
  text::Diagnostics& diagnostics_;
};

}  // namespace budwood::book
