/** How many cases a property is tried with: the environment's SOAKLINE_CASES where it is set (the long check sets it), else `usual`. */
export declare function cases(usual?: number): number
//# sourceMappingURL=cases.d.ts.map
