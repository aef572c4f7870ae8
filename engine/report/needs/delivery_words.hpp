#pragma once

#include <string>
#include <vector>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"

/// Deliveries as all lists of them tell them.
namespace budwood::report {

/// One line of a shopping list.
struct ListedDelivery {
  const plan::SupplyNeed* need = nullptr;
  const plan::Delivery* delivery = nullptr;
};

/// All deliveries, the one to order first before others.
std::vector<ListedDelivery> deliveries_by_order(const plan::Needs& needs);
/// The same by supplier; those of nobody in particular go last.
std::vector<ListedDelivery> deliveries_by_supplier(const plan::Needs& needs);

/// "10 packs of 70 L", "240 labels".
std::string bought_text(const plan::SupplyNeed& need, const plan::Delivery& delivery);
/// "Fri 2027-04-09, late"; "no lead time" where there is none.
std::string order_by_text(const plan::Delivery& delivery);
/// The supplier; "nobody named".
std::string supplier_text(const plan::Delivery& delivery);
/// All that are named for a purchase: "Fen Peat, Hollow Lane"; "" when none is.
std::string suppliers_text(const plan::Purchase& purchase);

/// What the shopping list does not say by itself: where more costs less, and what spoils.
std::vector<std::string> delivery_notes(const plan::Plan& plan, const plan::Needs& needs);

}  // namespace budwood::report
