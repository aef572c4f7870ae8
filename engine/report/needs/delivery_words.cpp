#include "report/needs/delivery_words.hpp"

#include <algorithm>
#include <cmath>

#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

calendar::Day order_day(const plan::Delivery& one) {
  return one.order_by.value_or(one.first.day);
}

/// An amount of a supply as it is sold: in packs, or as it is.
std::string sold_text(const plan::SupplyNeed& need, double amount, double pack) {
  if (pack <= 0) return units::format(amount, need.unit);
  static const units::Unit packs = units::counting_unit("packs");
  return units::format(std::round(amount / pack), packs);
}

}  // namespace

std::vector<ListedDelivery> deliveries_by_order(const plan::Needs& needs) {
  std::vector<ListedDelivery> all;
  for (const plan::SupplyNeed& need : needs.supplies) {
    if (!need.purchase) continue;
    for (const plan::Delivery& one : need.purchase->deliveries) all.push_back({&need, &one});
  }
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
    return order_day(*a.delivery) < order_day(*b.delivery);
  });
  return all;
}

std::vector<ListedDelivery> deliveries_by_supplier(const plan::Needs& needs) {
  std::vector<ListedDelivery> all = deliveries_by_order(needs);
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
    const std::string& one = a.delivery->supplier;
    const std::string& other = b.delivery->supplier;
    return one.empty() != other.empty() ? other.empty() : one < other;
  });
  return all;
}

std::string bought_text(const plan::SupplyNeed& need, const plan::Delivery& delivery) {
  const std::string sold = sold_text(need, delivery.amount, delivery.pack);
  return delivery.pack > 0 ? sold + " of " + units::format(delivery.pack, need.unit) : sold;
}

std::string order_by_text(const plan::Delivery& delivery) {
  const std::string day =
      delivery.order_by ? short_date(*delivery.order_by) : std::string("no lead time");
  return delivery.late ? day + ", late" : day;
}

std::string supplier_text(const plan::Delivery& delivery) {
  return delivery.supplier.empty() ? "nobody named" : delivery.supplier;
}

std::string suppliers_text(const plan::Purchase& purchase) {
  std::vector<std::string> names;
  for (const plan::Delivery& one : purchase.deliveries) {
    const bool told = std::find(names.begin(), names.end(), one.supplier) != names.end();
    if (!one.supplier.empty() && !told) names.push_back(one.supplier);
  }
  return joined(names, ", ");
}

std::vector<std::string> delivery_notes(const plan::Plan& plan, const plan::Needs& needs) {
  std::vector<std::string> out;
  const std::string currency = currency_of(plan);
  for (const ListedDelivery& one : deliveries_by_order(needs)) {
    const plan::SupplyNeed& need = *one.need;
    const plan::Delivery& delivery = *one.delivery;
    const double saved = delivery.least_cost.value_or(0) - delivery.cost.value_or(0);
    constexpr double half_a_cent = 0.005;
    if (delivery.least < delivery.amount && saved >= half_a_cent) {
      out.push_back(shown_name(need) + " for " + short_date(delivery.first.day) + ": " +
                    sold_text(need, delivery.amount, delivery.pack) + " cost " + money_text(saved) +
                    (currency.empty() ? "" : " " + currency) + " less than the " +
                    sold_text(need, delivery.least, delivery.pack) + " that would do.");
    }
    if (delivery.spoils && delivery.over > 0) {
      out.push_back(shown_name(need) + " of " + short_date(delivery.arrives()) + ": " +
                    units::format(delivery.over, need.unit) +
                    " are over, and do not keep until the next use.");
    }
  }
  for (const plan::SupplyNeed& need : needs.supplies) {
    for (const plan::OnHand& one : need.expires) {
      out.push_back(shown_name(need) + ": " + units::format(one.amount, need.unit) +
                    " of what is on hand are not used by " + short_date(*one.use_by) +
                    ", the last day for it.");
    }
  }
  return out;
}

}  // namespace budwood::report
