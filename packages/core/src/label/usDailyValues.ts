/** US daily values for adults, 21 CFR 101.9(c)(8)(iv) and (c)(9), 2016 rule (vitamin D, calcium, iron, potassium seen; the rest from memory). */
export const US_DAILY_VALUES = {
  fat: 78,
  saturates: 20,
  cholesterolMg: 300,
  sodiumMg: 2300,
  carbohydrate: 275,
  fibre: 28,
  addedSugars: 50,
  protein: 50,
  vitaminDMcg: 20,
  calciumMg: 1300,
  ironMg: 18,
  potassiumMg: 4700,
} as const;
