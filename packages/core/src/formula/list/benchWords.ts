/** What goes on the bench, the tin or the plate and into no batter: "for dusting", "to grease the tin". */
export const FOR_THE_BENCH =
  /\b(?:for|to)\s+(?:the\s+|your\s+)?(?:dust|greas|sprinkl|serv|roll|brush|lin|tin|pan|knead|flour|work|taste|garnish|hands|surface|board)/i;
